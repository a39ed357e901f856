/*
 * work_log.c: the log of the work, one line of CSV to each entry. A line holds no line end within itself
 * and ends in a field that says "yes", so that a line cut short by a kill is known by its fields or by
 * its lack of that one, wherever it was cut; it is skipped and counted. Header row and first entry go
 * out in one write.
 */
#include "plan_internal.h"

#include "taperwright/files.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LOG_CEILING = 16 << 20, COLUMNS = 19 };
static const char HEADER[] = "date,plate,fingerprint,stage,readings,leave,stretch,grind,too thin,"
                             "now [g],to move [g],to trim [g],to grind [g],lacking [g],"
                             "finished [g],finished standard uncertainty [g],weighs [g],"
                             "points: reads and over [mm],whole";
static const char WHOLE[] = "yes";
static const char MARK[] =
    "\xEF\xBB\xBF"; /* byte order mark, which a spreadsheet may have put there */

/* ---- writing ------------------------------------------------------------------------------------- */

typedef struct text {
    char *bytes;
    size_t used, room;
    bool failed;
} text;

static void put_bytes(text *t, const char *bytes, size_t size)
{
    if (!t->failed && size > t->room - t->used) {
        const size_t room = 2 * (t->room + size);
        char *more = realloc(t->bytes, room);
        if (more) {
            t->bytes = more;
            t->room = room;
        }
        t->failed = !more;
    }
    if (t->failed)
        return;
    memcpy(t->bytes + t->used, bytes, size);
    t->used += size;
}

/* A field, quoted where it must be; control characters would end the line or worse. */
static void put_field(text *t, const char *field)
{
    const bool quoted = strpbrk(field, ",;\t\"\r\n") != NULL;

    if (quoted)
        put_bytes(t, "\"", 1);
    for (const char *at = field; *at; at++) {
        const char letter = (unsigned char)*at < 0x20 ? ' ' : *at;
        put_bytes(t, &letter, 1);
        if (letter == '"')
            put_bytes(t, &letter, 1);
    }
    put_bytes(t, quoted ? "\"," : ",", quoted ? 2 : 1);
}

static void put_number(text *t, const char *format, double value)
{
    char field[64];

    tw_format(field, sizeof field, format, value);
    put_field(t, field);
}

static void put_count(text *t, size_t count)
{
    char field[32];

    tw_format(field, sizeof field, "%zu", count);
    put_field(t, field);
}

static void put_points(text *t, const tw_gauging *gauging)
{
    text list = {0};

    for (size_t k = 0; k < gauging->count; k++) {
        const tw_gauged *point = &gauging->points[k];
        char numbers[96];
        if (k > 0)
            put_bytes(&list, "; ", 2);
        put_bytes(&list, point->name, strlen(point->name));
        tw_format(numbers, sizeof numbers, " %.3f %+.3f", point->reads_mm, point->over_mm);
        put_bytes(&list, numbers, strlen(numbers));
    }
    put_bytes(&list, "", 1);
    t->failed = t->failed || list.failed;
    if (!t->failed)
        put_field(t, list.bytes);
    free(list.bytes);
}

static void put_entry(text *t, const tw_goal *goal, const char *date, const tw_gauging *gauging)
{
    const double grams[] = {gauging->now_g,       gauging->move_g,    gauging->trim_g,
                            gauging->grind_g,     gauging->lacking_g, gauging->finished_g,
                            gauging->finished_u_g};
    char fingerprint[17];

    put_field(t, date);
    put_field(t, goal->plate->profile->plate);
    put_field(t, tw_goal_fingerprint(goal, fingerprint));
    put_field(t, tw_stage_word(gauging->stage));
    put_count(t, gauging->count);
    for (int k = 0; k < 4; k++)
        put_count(t, gauging->todo_count[k]);
    for (size_t k = 0; k < sizeof grams / sizeof *grams; k++)
        put_number(t, "%.2f", grams[k]);
    if (gauging->weighs_g > 0)
        put_number(t, "%.2f", gauging->weighs_g);
    else
        put_field(t, "");
    put_points(t, gauging);
    put_bytes(t, WHOLE, sizeof WHOLE - 1);
    put_bytes(t, "\n", 1);
}

/* ---- reading -------------------------------------------------------------------------------------- */

/* Take the fields of one line apart, in place. @return how many, more than COLUMNS when there are too
 * many, 0 when a quote stays open or stands where none may */
static size_t split(char *line, char *fields[COLUMNS])
{
    size_t count = 0;
    char *at = line;

    for (;;) {
        char *to = at, *field = at;
        if (*at == '"') {
            for (at++; *at && (*at != '"' || at[1] == '"'); at++) {
                if (*at == '"')
                    at++;
                *to++ = *at;
            }
            if (*at != '"' || (at[1] != ',' && at[1] != '\0'))
                return 0;
            at++;
        } else {
            at += strcspn(at, ",");
            to = at;
        }
        if (count < COLUMNS)
            fields[count] = field;
        count++;
        if (*at == '\0') {
            *to = '\0';
            return count;
        }
        *to = '\0';
        at++;
    }
}

static bool read_count(const char *field, size_t *out)
{
    size_t value = 0;

    if (!*field)
        return false;
    for (; *field; field++) {
        if (*field < '0' || *field > '9' || value > 1000000000)
            return false;
        value = 10 * value + (size_t)(*field - '0');
    }
    *out = value;
    return true;
}

/* Decimals as written above, in any locale; no number of so many digits that it is none. */
static bool read_grams(const char *field, double *out)
{
    const bool below = *field == '-';
    double whole = 0, part = 0, unit = 1;
    bool digits = false;

    for (field += below; *field >= '0' && *field <= '9'; field++, digits = true)
        whole = 10 * whole + (*field - '0');
    if (*field == '.')
        for (field++; *field >= '0' && *field <= '9'; field++) {
            part = 10 * part + (*field - '0');
            unit *= 10;
        }
    *out = (below ? -1 : 1) * (whole + part / unit);
    return digits && *field == '\0' && isfinite(*out);
}

static bool read_entry(char *line, tw_log_entry *out)
{
    char *field[COLUMNS];
    double grams[8] = {0};

    if (split(line, field) != COLUMNS || strcmp(field[COLUMNS - 1], WHOLE) != 0)
        return false;
    if (!read_count(field[4], &out->readings) || !read_count(field[5], &out->leave) ||
        !read_count(field[6], &out->stretch) || !read_count(field[7], &out->grind) ||
        !read_count(field[8], &out->stop))
        return false;
    for (size_t k = 0; k < 8; k++)
        if (!read_grams(field[9 + k], &grams[k]) && !(k == 7 && !*field[16]))
            return false;
    out->date = field[0];
    out->plate = field[1];
    out->fingerprint = field[2];
    out->stage = field[3];
    out->now_g = grams[0];
    out->move_g = grams[1];
    out->trim_g = grams[2];
    out->grind_g = grams[3];
    out->lacking_g = grams[4];
    out->finished_g = grams[5];
    out->finished_u_g = grams[6];
    out->weighs_g = grams[7];
    out->points = field[17];
    return true;
}

static void place(const char *path, int line, tw_error *err)
{
    if (!err)
        return;
    tw_format(err->file, sizeof err->file, "%s", path);
    err->line = line;
}

static tw_status no_log(const char *path, tw_error *err)
{
    tw_fail(err, TW_ERR_INPUT,
            "it is no log of this program: it does not begin with the row of one");
    tw_error_advise(err, NULL, "name a file that is not there yet, and it will be begun");
    place(path, 1, err);
    return TW_ERR_INPUT;
}

static tw_status another(const char *path, const tw_log_entry *entry, const tw_goal *goal,
                         const char *own, tw_error *err)
{
    const char *plate = goal->plate->profile->plate;
    const bool same = strcmp(entry->plate, plate) == 0;

    tw_fail(err, TW_ERR_INPUT,
            "it is the log of another goal: of %.60s, fingerprint %.16s, and this is "
            "%.60s, %s",
            entry->plate, entry->fingerprint, plate, own);
    tw_error_advise(err, NULL,
                    same ? "what is to be made was changed since: begin a new log"
                         : "name this plate's own log, or a file that is not there yet");
    place(path, entry->line, err);
    return TW_ERR_INPUT;
}

/* Whether a first line is a piece of the header row, cut short. */
static bool is_torn_header(const char *line)
{
    const size_t length = strlen(line);

    return length > 0 && length < sizeof HEADER - 1 && strncmp(HEADER, line, length) == 0;
}

/* Lines of a log, one after the other; each ended by NUL, without its CR. */
typedef struct lines {
    char *at, *end;
    int number;
} lines;

static char *next_line(lines *in, bool *ended)
{
    char *line = in->at, *stop;

    if (line >= in->end)
        return NULL;
    stop = memchr(line, '\n', (size_t)(in->end - line));
    *ended = stop != NULL;
    if (!stop)
        stop = in->end; /* a NUL stands there */
    in->at = stop + 1;
    in->number++;
    if (stop > line && stop[-1] == '\r')
        stop[-1] = '\0';
    *stop = '\0';
    return line;
}

static tw_status take_lines(const char *path, lines *in, const tw_goal *goal, tw_work_log *log,
                            tw_error *err)
{
    char own[17], *line;
    bool headed = false, ended;

    tw_goal_fingerprint(goal, own);
    while ((line = next_line(in, &ended)) != NULL) {
        tw_log_entry entry = {.line = in->number};
        if (*line == '\0' || strcmp(line, HEADER) == 0) {
            headed = headed || *line;
            continue;
        }
        if (!headed && !is_torn_header(line))
            return no_log(path, err);
        if (!headed || !read_entry(line, &entry)) {
            log->torn++;
            continue;
        }
        if (strcmp(entry.fingerprint, own) != 0)
            return another(path, &entry, goal, own, err);
        log->entries[log->count++] = entry;
    }
    return TW_OK;
}

/* A log from bytes, which are copied. */
static tw_status parse(const char *path, const char *bytes, size_t size, const tw_goal *goal,
                       tw_work_log *out, tw_error *err)
{
    tw_work_log log = {.arena = tw_arena_new()};
    const bool marked = size >= 3 && memcmp(bytes, MARK, 3) == 0;
    char *copy = log.arena ? tw_arena_array(log.arena, size + 1, 1) : NULL;
    size_t room = 1;
    lines in;
    tw_status status;

    for (size_t k = 0; k < size; k++)
        room += bytes[k] == '\n';
    if (copy)
        log.entries = tw_arena_array(log.arena, room, sizeof *log.entries);
    if (!log.entries) {
        tw_arena_free(log.arena);
        tw_fail(err, TW_ERR_MEMORY, "no memory to read the log");
        place(path, 0, err);
        return TW_ERR_MEMORY;
    }
    for (size_t k = 0; k < size; k++) /* zeros that a power cut left make their line a torn one */
        copy[k] = bytes[k] ? bytes[k] : '\x01';
    in = (lines){copy + (marked ? 3 : 0), copy + size, 0};
    status = take_lines(path, &in, goal, &log, err);
    if (status != TW_OK) {
        tw_arena_free(log.arena);
        return status;
    }
    *out = log;
    return TW_OK;
}

/* ---- the log ------------------------------------------------------------------------------------- */

tw_status tw_work_log_read(const char *path, const tw_goal *goal, tw_work_log *out, tw_error *err)
{
    char *bytes = NULL;
    size_t size = 0;
    tw_status status = tw_append_read(path, LOG_CEILING, &bytes, &size, err);

    assert(path && goal && out);
    if (status == TW_OK)
        status = parse(path, bytes, size, goal, out, err);
    free(bytes);
    return status;
}

/* A whole header row stands in what is there already. */
static bool has_header(const char *bytes, size_t size)
{
    const size_t length = sizeof HEADER - 1;

    for (size_t at = 0; at + length < size; at++) {
        const bool begins =
            at == 0 || bytes[at - 1] == '\n' || (at == 3 && memcmp(bytes, MARK, 3) == 0);
        if (begins && memcmp(bytes + at, HEADER, length) == 0 &&
            (bytes[at + length] == '\n' || bytes[at + length] == '\r'))
            return true;
    }
    return false;
}

tw_status tw_work_log_append(const char *path, const tw_goal *goal, const char *date,
                             const tw_gauging *gauging, tw_error *err)
{
    tw_append *append = NULL;
    tw_work_log log = {0};
    text lines_out = {0};
    const char *bytes;
    size_t size;
    tw_status status;

    assert(path && goal && date && gauging);
    status = tw_append_begin(path, LOG_CEILING, &append, &bytes, &size, err);
    if (status == TW_OK)
        status = parse(path, bytes, size, goal, &log, err);
    if (status == TW_OK && !has_header(bytes, size)) {
        put_bytes(&lines_out, HEADER, sizeof HEADER - 1);
        put_bytes(&lines_out, "\n", 1);
    }
    if (status == TW_OK) {
        put_entry(&lines_out, goal, date, gauging);
        if (lines_out.failed)
            status = tw_fail(err, TW_ERR_MEMORY, "no memory for an entry of the log");
    }
    if (status == TW_OK) {
        status = tw_append_commit(append, lines_out.bytes, lines_out.used, err);
        append = NULL;
    }
    tw_append_abandon(append);
    tw_work_log_release(&log);
    free(lines_out.bytes);
    return status;
}

void tw_work_log_release(tw_work_log *log)
{
    if (!log)
        return;
    tw_arena_free(log->arena);
    memset(log, 0, sizeof *log);
}
