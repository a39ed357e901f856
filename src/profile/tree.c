/*
 * tree.c: YAML to a tree of plain nodes, the only place that meets the YAML library.
 * The library's events are used rather than its documents: what a profile may not hold (anchors,
 * aliases, tags, merge keys, a second document, deep nesting) is refused at the event where it
 * begins, so a hostile file costs no more memory than its bytes up to there, and the tree lives in
 * the profile's own arena.
 */
#include "reader_internal.h"

#include <libfyaml.h>

#include <stdio.h>
#include <string.h>

typedef struct growth {
    tw_reader *reader;
    size_t setting;
    const char *data; /* what is read: size bytes */
    size_t size;
    tw_node *root;
    tw_node *open[TW_NEST_MAX]; /* maps and lists being filled, outermost first */
    size_t depth;
    const char *key; /* of the next value when the innermost open node is a map */
    tw_place key_place;
    int documents;
} growth;

static tw_place place_of(const growth *tree, const struct fy_mark *mark)
{
    tw_place place = {0, 0};

    if (mark)
        place = (tw_place){mark->line + 1, mark->column + 1};
    if (tree->setting)
        place.line = -(int)tree->setting;
    return place;
}

/* What the library says and what we say. Its words are matched, not shown: another version that
 * says it otherwise falls through to the last row. */
static const struct {
    const char *theirs, *ours, *advice;
} syntax_words[] = {
    {NULL, "a tab stands where blanks must indent", "indent with blanks"},
    {"flow sequence without", "a \"[\" is never closed", "close the list with \"]\""},
    {"flow mapping without", "a \"{\" is never closed", "close the map with \"}\""},
    {"comma in flow mapping", "a comma or the closing \"}\" is missing",
     "write {key: value, key: value}"},
    {"comma in flow sequence", "a comma or the closing \"]\" is missing", "write [1, 2, 3]"},
    {"comma in the beginning", "a list begins with a comma", "write [1, 2, 3]"},
    {"extra closing", "a closing bracket has no opening one", "remove it, or add its partner"},
    {"without closing quote", "a quote is never closed", "close it on the same line"},
    {"after double-quoted", "something follows a closing quote", "put the whole in one pair"},
    {"after single-quoted", "something follows a closing quote", "put the whole in one pair"},
    {"plain scalar cannot start", "a text cannot begin with this sign", "put the text in quotes"},
    {"invalid escape", "no such \\ sign inside double quotes", "use single quotes"},
    {"nested block mapping on the same line", "a second \": \" in one line",
     "put a value that holds \": \" in quotes"},
    {"multiline plain key", "a line here is no \"key: value\"",
     "write a blank after the colon and line up the keys of one map"},
    {"could not find expected ':'", "a line is no \"key: value\"",
     "write \"key: value\", with a blank after the colon"},
    {"mismatched flow mapping", "a \"}\" closes what a \"[\" opened", "close the list with \"]\""},
    {"mismatched flow sequence", "a \"]\" closes what a \"{\" opened", "close the map with \"}\""},
    {"expected key", "a line is no \"key: value\"",
     "write \"key: value\", with a blank after the colon"},
    {"wrongly indented", "a quote is never closed", "close it on the same line"},
    {"indentation", "the indentation fits nothing above", "line up the keys of one map"},
    {"sequence on the same line", "a list begins behind its key",
     "write [a, b], or each \"- item\" on its own line"},
    {"", "this cannot be read as YAML", "look at indentation, colons, quotes and brackets here"},
};

/* A tab that indents a line or the one after it: the library may see its effect a line before. */
static bool tab_indents(const char *text, int *line, int *column)
{
    for (int k = 0; k < 2; k++) {
        char start[160];
        tw_text_line(text, *line + k, start, sizeof start, true);
        *column = (int)strspn(start, " ") + 1;
        if (start[*column - 1] == '\t') {
            *line += k;
            return true;
        }
    }
    return false;
}

/* The library may put the end of a text that breaks off a line below it: a place that an editor finds. */
static void stay_inside(const char *text, tw_place *place)
{
    int line = 1, column = 1;

    for (; *text && line < place->line; text += text[0] == '\r' && text[1] == '\n' ? 2 : 1) {
        const size_t length = strcspn(text, "\r\n");
        const char *next = text + length;
        if (!*next)
            break;
        text = next;
        line++;
    }
    for (; *text && *text != '\r' && *text != '\n'; text++)
        column += ((unsigned char)*text & 0xC0) != 0x80;
    if (line < place->line)
        *place = (tw_place){line, column};
    else if (column < place->column)
        place->column = column;
}

/* The library's first complaint, in our words; true when there was one. */
static bool tell_syntax(growth *tree, struct fy_diag *diag)
{
    void *state = NULL;
    const struct fy_diag_error *said = fy_diag_errors_iterate(diag, &state);
    const char *theirs = said && said->msg ? said->msg : "";
    tw_place place;
    size_t k;
    int line, column;

    if (!said)
        return false;
    if (strstr(theirs, "memory")) {
        tree->reader->no_memory = true;
        return true;
    }
    line = said->line > 0 ? said->line : 1;
    place = (tw_place){line, said->column > 0 ? said->column : 1};
    k = 1;
    if (tree->setting) {
        place.line = -(int)tree->setting;
    } else if (tab_indents(tree->reader->profile->text, &line, &column)) {
        place = (tw_place){line, column};
        k = 0; /* tells of tabs */
    } else {
        stay_inside(tree->reader->profile->text, &place);
    }
    while (k > 0 && !strstr(theirs, syntax_words[k].theirs))
        k++;
    tw_reader_fault(tree->reader, place, TW_ERR_SYNTAX, NULL, syntax_words[k].advice, "%s",
                    syntax_words[k].ours);
    return true;
}

tw_node *tw_tree_find(const tw_node *map, const char *key)
{
    if (map->kind != TW_NODE_MAP) /* the items of a list have no keys */
        return NULL;
    for (tw_node *child = map->first; child; child = child->next)
        if (strcmp(child->key, key) == 0)
            return child;
    return NULL;
}

void tw_tree_append(tw_node *parent, tw_node *child)
{
    child->next = NULL;
    if (parent->last)
        parent->last->next = child;
    else
        parent->first = child;
    parent->last = child;
    parent->count++;
}

static bool refuse(growth *tree, tw_place place, const char *what, const char *advice)
{
    tw_reader_fault(tree->reader, place, TW_ERR_SYNTAX, NULL, advice, "%s", what);
    return false;
}

/* A key has come: it becomes the name of the next value. */
static bool take_key(growth *tree, const char *text, tw_place place)
{
    const tw_node *map = tree->open[tree->depth - 1], *twin;

    if (strcmp(text, "<<") == 0)
        return refuse(tree, place, "merge keys (<<) are not read in a profile",
                      "write the keys out");
    if (map->count >= TW_MAP_MAX) {
        tw_reader_fault(tree->reader, place, TW_ERR_LIMIT, text, NULL,
                        "more than %d keys in one map", TW_MAP_MAX);
        return false;
    }
    twin = tw_tree_find(map, text);
    if (twin && place.line > 0)
        tw_reader_fault(tree->reader, place, TW_ERR_KEY, text, "remove one of the two",
                        "\"%s\" is given twice, first in line %d", text, twin->key_place.line);
    else if (twin)
        tw_reader_fault(tree->reader, place, TW_ERR_KEY, text, "remove one of the two",
                        "\"%s\" is given twice", text);
    tree->key = text;
    tree->key_place = place;
    return true;
}

/* Hangs a new node where it belongs; a value of a key given twice is read and left out. */
static bool hang(growth *tree, tw_node *node)
{
    tw_node *parent = tree->depth ? tree->open[tree->depth - 1] : NULL;

    if (!parent) {
        tree->root = node;
    } else if (parent->kind == TW_NODE_LIST) {
        tw_tree_append(parent, node);
    } else {
        node->key = tree->key;
        node->key_place = tree->key_place;
        if (node->place.line == 0) /* nothing after the colon has no place of its own */
            node->place = node->key_place;
        if (!tw_tree_find(parent, node->key))
            tw_tree_append(parent, node);
        tree->key = NULL;
    }
    if (node->kind == TW_NODE_TEXT)
        return true;
    if (tree->depth == TW_NEST_MAX) {
        tw_reader_fault(tree->reader, node->place, TW_ERR_LIMIT, NULL, NULL,
                        "lists and maps stand inside each other deeper than %d", TW_NEST_MAX);
        return false;
    }
    tree->open[tree->depth++] = node;
    return true;
}

static tw_node *new_node(growth *tree, tw_node_kind kind, tw_place place)
{
    tw_node *node = tw_reader_array(tree->reader, 1, sizeof *node);

    if (!node)
        return NULL;
    node->kind = kind;
    node->place = place;
    return node;
}

/* Length of a scalar's text; its bytes to `out` unless that is NULL. False without memory. */
static bool read_chunks(struct fy_token *token, char *out, size_t *length)
{
    struct fy_token_iter *chunks = fy_token_iter_create(token);
    const struct fy_iter_chunk *chunk = NULL;
    int failed = 0;

    *length = 0;
    if (!chunks)
        return false;
    while ((chunk = fy_token_iter_chunk_next(chunks, chunk, &failed)) != NULL) {
        if (out)
            memcpy(out + *length, chunk->str, chunk->len);
        *length += chunk->len;
    }
    fy_token_iter_destroy(chunks);
    return failed == 0;
}

/* Where a text on one line stands that is plain or in single quotes, which are left off; NULL for any other. */
static const char *one_line(const growth *tree, struct fy_token *token, size_t *length)
{
    const struct fy_mark *from = fy_token_start_mark(token), *to = fy_token_end_mark(token);
    const enum fy_scalar_style style = fy_scalar_token_get_style(token);
    const char *raw;

    if (!from || !to || (style != FYSS_PLAIN && style != FYSS_SINGLE_QUOTED) ||
        (style == FYSS_SINGLE_QUOTED &&
         (from->input_pos == 0 || tree->data[from->input_pos - 1] != '\'')))
        return NULL;
    raw = tree->data + from->input_pos;
    *length = to->input_pos - from->input_pos;
    if (style == FYSS_PLAIN)
        while (*length > 0 && (raw[*length - 1] == ' ' || raw[*length - 1] == '\t'))
            --*length;
    return memchr(raw, '\n', *length) || memchr(raw, '\r', *length) ? NULL : raw;
}

/* There two quotes stand for one, and nothing else for anything but itself (YAML 1.2.2, 7.3.2). The library
 * (libfyaml 0.7.12) makes three of two such pairs side by side. */
static void unquote(char *out, const char *raw, size_t *length)
{
    size_t used = 0;

    for (size_t k = 0; k < *length; k++) {
        out[used++] = raw[k];
        k += raw[k] == '\'';
    }
    *length = used;
}

/* A copy of a scalar's text, or NULL without memory. In pieces: fy_token_get_text() loses the memory it needs
 * for a text of more than a few escapes (libfyaml 0.7.12). */
static char *scalar_text(growth *tree, struct fy_token *token, size_t *length)
{
    tw_reader *reader = tree->reader;
    const char *raw = token ? one_line(tree, token, length) : NULL;
    char *copy = NULL;
    bool whole = true;

    if (!token)
        *length = 0;
    else if (!raw)
        whole = read_chunks(token, NULL, length);
    if (whole)
        copy = tw_reader_array(reader, *length + 1, 1);
    if (copy && raw && fy_scalar_token_get_style(token) == FYSS_PLAIN)
        memcpy(copy, raw, *length);
    else if (copy && raw)
        unquote(copy, raw, length);
    else if (copy && token)
        whole = read_chunks(token, copy, length);
    reader->no_memory = reader->no_memory || !whole;
    return whole ? copy : NULL;
}

static bool take_scalar(growth *tree, struct fy_token *token, tw_place place)
{
    size_t length;
    char *copy = scalar_text(tree, token, &length);
    tw_error err;
    tw_node *node;

    if (!copy)
        return false;
    /* the file's bytes are clean, but "\0" and "\e" inside double quotes make new ones */
    if (tw_text_check(copy, length, &err) != TW_OK)
        return refuse(tree, place, "a control character is written as an escape", "leave it out");
    if (tree->depth && tree->open[tree->depth - 1]->kind == TW_NODE_MAP && !tree->key)
        return take_key(tree, copy, place);
    node = new_node(tree, TW_NODE_TEXT, place);
    if (!node)
        return false;
    node->text = copy;
    return hang(tree, node);
}

static bool open_node(growth *tree, tw_node_kind kind, tw_place place)
{
    tw_node *node;

    if (tree->depth && tree->open[tree->depth - 1]->kind == TW_NODE_MAP && !tree->key)
        return refuse(tree, place, "a key must be a plain word, no list or map",
                      "write \"key: value\"");
    node = new_node(tree, kind, place);
    return node && hang(tree, node);
}

/* Anchors and tags are refused at their own place. */
static bool is_plain(growth *tree, struct fy_token *anchor, struct fy_token *tag)
{
    if (anchor)
        return refuse(tree, place_of(tree, fy_token_start_mark(anchor)),
                      "anchors (&name) are not read in a profile", "write the value out");
    if (tag)
        return refuse(tree, place_of(tree, fy_token_start_mark(tag)),
                      "tags (!name) are not read in a profile", "leave the tag out");
    return true;
}

/* @return false when reading must stop */
static bool take_event(growth *tree, struct fy_event *event)
{
    const struct fy_mark *mark = fy_event_start_mark(event);
    tw_place place = place_of(tree, mark);

    if (mark && mark->input_pos >= tree->size && !tree->setting)
        stay_inside(tree->reader->profile->text,
                    &place); /* an empty text in block style at the very end */
    if (event->type == FYET_DOCUMENT_START)
        tree->documents++;
    if (tree->documents > 1 && place.line != 0) /* without "---" its first value has the place */
        return refuse(tree, place, "a second document begins",
                      "keep one plate, or one harness, in one file");
    switch (event->type) {
    case FYET_ALIAS:
        return refuse(tree, place, "aliases (*name) are not read in a profile",
                      "write the value out");
    case FYET_SCALAR:
        return is_plain(tree, event->scalar.anchor, event->scalar.tag) &&
               take_scalar(tree, event->scalar.value, place);
    case FYET_MAPPING_START:
        return is_plain(tree, event->mapping_start.anchor, event->mapping_start.tag) &&
               open_node(tree, TW_NODE_MAP, place);
    case FYET_SEQUENCE_START:
        return is_plain(tree, event->sequence_start.anchor, event->sequence_start.tag) &&
               open_node(tree, TW_NODE_LIST, place);
    case FYET_MAPPING_END:
    case FYET_SEQUENCE_END:
        tree->depth--;
        return true;
    default:
        return true;
    }
}

tw_node *tw_tree_read(tw_reader *reader, const char *data, size_t size, size_t setting)
{
    const struct fy_diag_cfg quiet = {.level = FYET_ERROR, .module_mask = ~0u};
    struct fy_parse_cfg config = {.search_path = "", .flags = FYPCF_QUIET | FYPCF_JSON_NONE};
    growth tree = {.reader = reader, .setting = setting, .data = data, .size = size};
    struct fy_parser *parser = NULL;
    struct fy_event *event;
    const size_t before = reader->errors.count;
    bool ended = false, refused = false;
    char advice[80];

    config.diag = fy_diag_create(&quiet);
    if (!config.diag) {
        reader->no_memory = true;
        return NULL;
    }
    fy_diag_set_collect_errors(config.diag, true);
    parser = fy_parser_create(&config);
    if (!parser || fy_parser_set_string(parser, data, size) != 0) {
        reader->no_memory = true;
        goto done;
    }
    while (!ended && !refused && (event = fy_parser_parse(parser)) != NULL) {
        ended = event->type == FYET_STREAM_END;
        refused = !take_event(&tree, event);
        fy_parser_event_free(parser, event);
    }
    if (!refused && (tell_syntax(&tree, config.diag) || !ended)) {
        refused = true;
        if (reader->errors.count == before && !reader->no_memory)
            reader->no_memory = true; /* it stopped without a word */
    }
    snprintf(advice, sizeof advice, "begin with \"%s\"", reader->kind->begin);
    if (!refused && !tree.root)
        tw_reader_fault(reader, (tw_place){setting ? -(int)setting : 1, 1}, TW_ERR_INPUT, NULL,
                        setting ? "write path=value" : advice,
                        setting ? "no value is given" : "the file holds nothing but comments");
done:
    fy_parser_destroy(parser);
    fy_diag_destroy(config.diag);
    return refused || reader->no_memory ? NULL : tree.root;
}
