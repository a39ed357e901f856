/* show_work.c: readings of the work and its log, as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 80 };
static const double COVERAGE = 2; /* standard to 95 %, of a normal spread */

/* What the typed or profile's weighing is compared with: what stands there by readings. */
static double expected_total(const tw_gauging *gauging)
{
    return gauging->now_g + (gauging->stage == TW_STAGE_HAMMER ? gauging->strip_g : 0);
}

/* ---- text: points -------------------------------------------------------------------------------- */

enum { NAME, AT, READS, WANTED, WINDOW, OVER, COLUMNS };

static char *signed_thickness(double mm, tw_units units, char *out)
{
    char words[WORDS];

    tw_write_thickness(fabs(mm), units, -1, words, WORDS);
    snprintf(out, WORDS, "%s%.70s", strpbrk(words, "123456789") ? (mm < 0 ? "-" : "+") : "", words);
    return out;
}

static void fill_cells(const tw_gauged *point, tw_units units, char cells[COLUMNS][WORDS])
{
    char low[WORDS / 3], high[WORDS / 3];

    snprintf(cells[NAME], WORDS, "%.60s", point->name);
    tw_cli_place(point->tape, units, cells[AT], WORDS);
    tw_write_thickness(point->reads_mm, units, -1, cells[READS], WORDS);
    tw_write_thickness(point->wanted_mm, units, -1, cells[WANTED], WORDS);
    tw_write_thickness(point->low_mm, units, -1, low, sizeof low);
    tw_write_thickness(point->high_mm, units, -1, high, sizeof high);
    low[strcspn(low, " ")] = '\0'; /* one unit for both */
    snprintf(cells[WINDOW], WORDS, "%s to %s", low, high);
    signed_thickness(point->over_mm, units, cells[OVER]);
}

static void show_line(tw_output *out, char cells[COLUMNS][WORDS], const int wide[COLUMNS],
                      const char *todo)
{
    tw_output_print(out, NULL, "  %-*s  %-*s", tw_cli_fit(wide[NAME], cells[NAME]), cells[NAME],
                    tw_cli_fit(wide[AT], cells[AT]), cells[AT]);
    for (int c = READS; c < COLUMNS; c++)
        tw_output_print(out, NULL, "  %*s", tw_cli_fit(wide[c], cells[c]), cells[c]);
    tw_output_print(out, NULL, "  %s\n", todo);
}

static void show_points(tw_output *out, tw_units units, const tw_gauging *gauging)
{
    char heads[COLUMNS][WORDS] = {"point", "at", "reads", "wanted", "window", "over"};
    char cells[COLUMNS][WORDS];
    int wide[COLUMNS];

    for (int c = 0; c < COLUMNS; c++)
        wide[c] = (int)tw_cli_columns(heads[c]);
    for (size_t k = 0; k < gauging->count; k++) {
        fill_cells(&gauging->points[k], units, cells);
        for (int c = 0; c < COLUMNS; c++)
            wide[c] = (int)fmax(wide[c], (double)tw_cli_columns(cells[c]));
    }
    show_line(out, heads, wide, "to do");
    for (size_t k = 0; k < gauging->count; k++) {
        fill_cells(&gauging->points[k], units, cells);
        show_line(out, cells, wide, tw_todo_word(gauging->points[k].todo));
    }
}

/* ---- text: grams --------------------------------------------------------------------------------- */

static void show_head(tw_output *out, tw_units units, const tw_cli_work *found)
{
    const tw_gauging *gauging = found->gauging;
    const bool hammer = gauging->stage == TW_STAGE_HAMMER;
    char words[WORDS];

    tw_output_print(out, NULL, "%s: %zu reading%s held against the %s, %s, window ± %s\n",
                    found->goal->plate->profile->plate, gauging->count,
                    gauging->count == 1 ? "" : "s",
                    found->goal->planned ? "planned map" : "forged map",
                    hammer ? "while it is hammered" : "once it is hammered",
                    tw_write_thickness(gauging->window_mm, units, -1, words, WORDS));
    if (found->readings->unread > 0)
        tw_output_print(out, NULL, "  %zu point%s not read yet\n", found->readings->unread,
                        found->readings->unread == 1 ? " is" : "s are");
    if (found->readings->assumed)
        tw_output_print(out, NULL,
                        "  taken as read by a caliper in steps of %s: the profile names no "
                        "instrument\n",
                        tw_write_thickness(0.05, units, -1, words, WORDS));
}

static void gram_line(tw_output *out, tw_units units, const char *head, double g, const char *words)
{
    char mass[WORDS];

    tw_write_mass(fabs(g) < 0.05 ? 0 : g, units, -1, mass, WORDS);
    tw_output_print(out, NULL, "  %-14s  %-9s  %s\n", head, mass, words);
}

static void show_finished(tw_output *out, tw_units units, const tw_gauging *gauging)
{
    const double off = gauging->finished_g - gauging->wanted_g;
    char words[3][WORDS];

    tw_output_print(out, NULL, "  %-14s  %s expected%s, %s %s the %s of the goal\n", "finished",
                    tw_cli_mass_within(gauging->finished_g, COVERAGE * gauging->finished_u_g, units,
                                       words[0], WORDS),
                    gauging->few ? ", ± or more" : " (95 %)",
                    tw_write_mass(fabs(off), units, -1, words[1], WORDS),
                    off < 0 ? "under" : "over",
                    tw_write_mass(gauging->wanted_g, units, -1, words[2], WORDS));
    if (gauging->few)
        tw_output_print(
            out, NULL,
            "                  under 6 places are too few to tell how it wanders: taken as "
            "one even offset\n");
}

static void show_now(tw_output *out, tw_units units, const tw_gauging *gauging)
{
    const double off = gauging->now_g - gauging->stage_g;
    char words[3][WORDS];

    tw_output_print(
        out, NULL, "  %-14s  %s within the outline by readings, %s %s the %s wanted %s\n", "now",
        tw_cli_mass_within(gauging->now_g, COVERAGE * gauging->now_u_g, units, words[0], WORDS),
        tw_write_mass(fabs(off), units, -1, words[1], WORDS), off < 0 ? "under" : "over",
        tw_write_mass(gauging->stage_g, units, -1, words[2], WORDS),
        gauging->stage == TW_STAGE_HAMMER ? "as hammered" : "in the end");
}

/* What the scale says beside the readings. */
static void show_scale(tw_output *out, tw_units units, const tw_gauging *gauging)
{
    const double by_readings = expected_total(gauging), off = gauging->weighs_g - by_readings;
    const double sure = COVERAGE * gauging->now_u_g;
    char words[4][WORDS];

    if (!(gauging->weighs_g > 0))
        return;
    tw_output_print(out, NULL,
                    "  %-14s  %s on the scale, %s %s than the %s that readings%s come to", "weighs",
                    tw_write_mass(gauging->weighs_g, units, -1, words[0], WORDS),
                    tw_write_mass(fabs(off), units, -1, words[1], WORDS), off < 0 ? "less" : "more",
                    tw_write_mass(by_readings, units, -1, words[2], WORDS),
                    gauging->stage == TW_STAGE_HAMMER && gauging->strip_g > 0 ? " and strip" : "");
    if (fabs(off) <= sure)
        tw_output_print(out, NULL, ": within their ± %s\n",
                        tw_write_mass(sure, units, -1, words[3], WORDS));
    else if (off < 0)
        tw_output_print(out, NULL, ": too little; gauge again where nothing was read\n");
    else
        tw_output_print(out, NULL, ": more stands over the outline, or the readings miss it\n");
}

static void show_grams(tw_output *out, tw_units units, const tw_gauging *gauging)
{
    const bool hammer = gauging->stage == TW_STAGE_HAMMER;
    char words[2 * WORDS], strip[WORDS];

    show_now(out, units, gauging);
    show_scale(out, units, gauging);
    if (hammer)
        gram_line(
            out, units, "to move", gauging->move_g,
            "by hammer, where it is over its window: it spreads, and ends beyond the outline");
    if (hammer && gauging->move_g < 0.5 && gauging->todo_count[TW_TODO_STRETCH] > 0)
        tw_output_print(
            out, NULL,
            "                  points to stretch are spots: round about it is within its "
            "window\n");
    snprintf(words, sizeof words, "in the end, what then stands beyond the outline");
    if (hammer && gauging->strip_g > 0)
        snprintf(words, sizeof words,
                 "in the end, what then stands beyond the outline; the strip of %s is in it",
                 tw_write_mass(gauging->strip_g, units, -1, strip, WORDS));
    if (!hammer && !(gauging->weighs_g > 0))
        snprintf(words, sizeof words, "taken as trimmed: only a weighing could tell");
    gram_line(out, units, "to trim", gauging->trim_g, words);
    gram_line(out, units, "to grind", gauging->grind_g,
              hammer ? "what polish is to take off"
                     : "where it is over its window, down to what is wanted; polish is in it");
    gram_line(out, units, "lacking", gauging->lacking_g,
              "where it is under its window: what is gone does not come back");
    show_finished(out, units, gauging);
}

/* A weight typed in the profile against what the goal comes to. */
static void show_weighed(tw_output *out, tw_units units, const char *head, double weighed,
                         double wanted, const char *of)
{
    const double off = weighed - wanted;
    char words[3][WORDS];

    if (weighed > 0)
        tw_output_print(out, NULL, "  %-14s  %s weighed, %s %s the %s of the goal%s\n", head,
                        tw_write_mass(weighed, units, -1, words[0], WORDS),
                        tw_write_mass(fabs(off), units, -1, words[1], WORDS),
                        off < 0 ? "under" : "over",
                        tw_write_mass(wanted, units, -1, words[2], WORDS), of);
}

static void show_todo(tw_output *out, const tw_gauging *gauging)
{
    static const tw_todo order[] = {TW_TODO_LEAVE, TW_TODO_STRETCH, TW_TODO_GRIND, TW_TODO_STOP};
    const char *between = "";

    tw_output_print(out, NULL, "  ");
    for (size_t k = 0; k < 4; k++)
        if (gauging->todo_count[order[k]] > 0) {
            tw_output_print(out, NULL, "%s%zu to %s", between, gauging->todo_count[order[k]],
                            order[k] == TW_TODO_STOP ? "stop at: too thin"
                                                     : tw_todo_word(order[k]));
            between = ", ";
        }
    tw_output_print(out, NULL, "\n");
}

/* ---- text: the log ------------------------------------------------------------------------------- */

static void show_log(tw_output *out, tw_units units, const tw_cli_work *found)
{
    const tw_work_log *log = found->log;
    char words[4][WORDS], fingerprint[17];
    int date = 4;

    tw_output_print(out, NULL, "%sLog of %s, %s: %zu entr%s, fingerprint %s\n",
                    found->gauging ? "\n" : "", found->goal->plate->profile->plate, found->log_file,
                    log->count, log->count == 1 ? "y" : "ies",
                    tw_goal_fingerprint(found->goal, fingerprint));
    if (log->torn > 0)
        tw_output_print(out, NULL, "  %zu line%s cut short by a failure %s left aside\n", log->torn,
                        log->torn == 1 ? "" : "s", log->torn == 1 ? "is" : "are");
    for (size_t k = 0; k < log->count; k++)
        date = (int)fmax(date, (double)tw_cli_columns(log->entries[k].date));
    if (log->count > 0)
        tw_output_print(out, NULL, "  %-*s  %-6s  %8s  %9s  %9s  %9s  %s\n", date, "date", "stage",
                        "readings", "to move", "to trim", "to grind", "finished");
    for (size_t k = 0; k < log->count; k++) {
        const tw_log_entry *e = &log->entries[k];
        tw_output_print(
            out, NULL, "  %-*s  %-6s  %8zu  %9s  %9s  %9s  %s%s\n", tw_cli_fit(date, e->date),
            e->date, e->stage, e->readings, tw_write_mass(e->move_g, units, -1, words[0], WORDS),
            tw_write_mass(e->trim_g, units, -1, words[1], WORDS),
            tw_write_mass(e->grind_g, units, -1, words[2], WORDS),
            tw_cli_mass_within(e->finished_g, COVERAGE * e->finished_u_g, units, words[3], WORDS),
            e->stop > 0 ? ", too thin somewhere" : "");
    }
}

void tw_show_work_text(tw_output *out, tw_units units, const tw_cli_work *found)
{
    const tw_weighed_spec *weighed = &found->goal->plate->profile->weighed;
    const tw_gauging *gauging = found->gauging;

    if (gauging) {
        show_head(out, units, found);
        show_points(out, units, gauging);
        show_todo(out, gauging);
        show_grams(out, units, gauging);
        show_weighed(out, units, "rough", weighed->rough,
                     found->goal->rough_weight.mass_g + gauging->strip_g,
                     gauging->strip_g > 0 ? " with its strip" : "");
        show_weighed(out, units, "finished", weighed->finished, gauging->wanted_g, "");
        tw_output_print(out, NULL,
                        "Between the points all is estimated; gauge again after each course.\n");
    }
    if (found->log)
        show_log(out, units, found);
}

/* ---- JSON ---------------------------------------------------------------------------------------- */

/* The keys are promised to scripts: add, never rename. */
static json_t *points_json(const tw_gauging *gauging)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < gauging->count; k++) {
        const tw_gauged *p = &gauging->points[k];
        json_t *item =
            json_pack("{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:s}", "name", tw_json_text(p->name), "at_mm",
                      tw_json_numbers(p->tape, 2), "reads_mm", tw_json_number(p->reads_mm),
                      "wanted_mm", tw_json_number(p->wanted_mm), "low_mm",
                      tw_json_number(p->low_mm), "high_mm", tw_json_number(p->high_mm), "over_mm",
                      tw_json_number(p->over_mm), "todo", tw_todo_word(p->todo));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

static json_t *weighed_json(const tw_cli_work *found)
{
    const tw_weighed_spec *weighed = &found->goal->plate->profile->weighed;
    const tw_gauging *gauging = found->gauging;

    return json_pack(
        "{s:o,s:o,s:o,s:o}", "rough_g",
        tw_json_number(weighed->rough > 0 ? weighed->rough : (double)NAN), "rough_wanted_g",
        tw_json_number(found->goal->rough_weight.mass_g + gauging->strip_g), "finished_g",
        tw_json_number(weighed->finished > 0 ? weighed->finished : (double)NAN),
        "finished_wanted_g", tw_json_number(gauging->wanted_g));
}

static json_t *gauging_json(const tw_cli_work *found)
{
    const tw_gauging *g = found->gauging;

    return json_pack(
        "{s:s,s:s,s:o,s:I,s:b,s:o,s:{s:I,s:I,s:I,s:I},s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,"
        "s:"
        "o,s:o,s:b,s:o}",
        "stage", tw_stage_word(g->stage), "map", found->goal->planned ? "plan" : "forged",
        "window_mm", tw_json_number(g->window_mm), "unread", (json_int_t)found->readings->unread,
        "instrument_assumed", found->readings->assumed, "points", points_json(g), "todo", "leave",
        (json_int_t)g->todo_count[TW_TODO_LEAVE], "stretch",
        (json_int_t)g->todo_count[TW_TODO_STRETCH], "grind",
        (json_int_t)g->todo_count[TW_TODO_GRIND], "stop", (json_int_t)g->todo_count[TW_TODO_STOP],
        "now_g", tw_json_number(g->now_g), "now_u_g", tw_json_number(g->now_u_g), "now_wanted_g",
        tw_json_number(g->stage_g), "weighs_g",
        tw_json_number(g->weighs_g > 0 ? g->weighs_g : (double)NAN), "strip_g",
        tw_json_number(g->strip_g), "total_g", tw_json_number(g->total_g), "move_g",
        tw_json_number(g->move_g), "trim_g", tw_json_number(g->trim_g), "grind_g",
        tw_json_number(g->grind_g), "lacking_g", tw_json_number(g->lacking_g), "finished_g",
        tw_json_number(g->finished_g), "finished_u_g", tw_json_number(g->finished_u_g),
        "finished_wanted_g", tw_json_number(g->wanted_g), "few", g->few, "weighed",
        weighed_json(found));
}

static json_t *log_json(const tw_cli_work *found)
{
    const tw_work_log *log = found->log;
    json_t *list = json_array();

    for (size_t k = 0; list && k < log->count; k++) {
        const tw_log_entry *e = &log->entries[k];
        json_t *item = json_pack(
            "{s:o,s:o,s:I,s:I,s:I,s:I,s:I,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "date",
            tw_json_text(e->date), "stage", tw_json_text(e->stage), "readings",
            (json_int_t)e->readings, "leave", (json_int_t)e->leave, "stretch",
            (json_int_t)e->stretch, "grind", (json_int_t)e->grind, "stop", (json_int_t)e->stop,
            "now_g", tw_json_number(e->now_g), "move_g", tw_json_number(e->move_g), "trim_g",
            tw_json_number(e->trim_g), "grind_g", tw_json_number(e->grind_g), "lacking_g",
            tw_json_number(e->lacking_g), "finished_g", tw_json_number(e->finished_g),
            "finished_u_g", tw_json_number(e->finished_u_g), "weighs_g",
            tw_json_number(e->weighs_g > 0 ? e->weighs_g : (double)NAN), "points",
            tw_json_text(e->points));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return json_pack("{s:o,s:I,s:o}", "file", tw_json_text(found->log_file), "torn",
                     (json_int_t)log->torn, "entries", list);
}

json_t *tw_show_work_json(const tw_cli_work *found)
{
    char fingerprint[17];

    return json_pack("{s:i,s:s,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION, "plate",
                     tw_json_text(found->goal->plate->profile->plate), "fingerprint",
                     tw_json_text(tw_goal_fingerprint(found->goal, fingerprint)), "gauging",
                     found->gauging ? gauging_json(found) : json_null(), "log",
                     found->log ? log_json(found) : json_null());
}

/* ---- CSV ----------------------------------------------------------------------------------------- */

static void points_csv(tw_output *out, const tw_cli_work *found)
{
    tw_output_print(out, NULL,
                    "plate,stage,point,across_mm,up_mm,reads_mm,wanted_mm,low_mm,high_mm,"
                    "over_mm,todo\n");
    for (size_t k = 0; k < found->gauging->count; k++) {
        const tw_gauged *p = &found->gauging->points[k];
        const double values[] = {p->tape[0], p->tape[1], p->reads_mm, p->wanted_mm,
                                 p->low_mm,  p->high_mm, p->over_mm};
        tw_csv_text(out, found->goal->plate->profile->plate, false);
        tw_csv_text(out, tw_stage_word(found->gauging->stage), false);
        tw_csv_text(out, p->name, false);
        for (size_t c = 0; c < sizeof values / sizeof *values; c++)
            tw_csv_number(out, values[c], false);
        tw_csv_text(out, tw_todo_word(p->todo), true);
    }
}

static void log_csv(tw_output *out, const tw_cli_work *found)
{
    tw_output_print(out, NULL,
                    "plate,date,stage,readings,leave,stretch,grind,stop,now_g,move_g,"
                    "trim_g,grind_g,lacking_g,finished_g,finished_u_g,weighs_g\n");
    for (size_t k = 0; k < found->log->count; k++) {
        const tw_log_entry *e = &found->log->entries[k];
        const double values[] = {e->now_g,     e->move_g,     e->trim_g,      e->grind_g,
                                 e->lacking_g, e->finished_g, e->finished_u_g};
        tw_csv_text(out, e->plate, false);
        tw_csv_text(out, e->date, false);
        tw_csv_text(out, e->stage, false);
        tw_output_print(out, NULL, "%zu,%zu,%zu,%zu,%zu,", e->readings, e->leave, e->stretch,
                        e->grind, e->stop);
        for (size_t c = 0; c < sizeof values / sizeof *values; c++)
            tw_csv_number(out, values[c], false);
        tw_csv_number(out, e->weighs_g > 0 ? e->weighs_g : (double)NAN, true);
    }
}

void tw_show_work_csv(tw_output *out, const tw_cli_work *found)
{
    if (found->gauging)
        points_csv(out, found);
    else
        log_csv(out, found);
}
