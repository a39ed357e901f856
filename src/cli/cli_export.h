/*
 * cli_export.h: a plate for other programs.
 */
#ifndef CLI_EXPORT_H
#define CLI_EXPORT_H

#include "cli_internal.h"

#include "taperwright/exchange.h"

/** What `export` writes: a solid, a picture, rows. */
typedef enum tw_cli_export_kind {
    TW_EXPORT_STL,
    TW_EXPORT_OBJ,
    TW_EXPORT_PLY,
    TW_EXPORT_PNG,
    TW_EXPORT_CSV
} tw_cli_export_kind;
/** --what: levels of a picture. */
typedef enum tw_cli_what { TW_CLI_THICKNESS, TW_CLI_HEIGHT } tw_cli_what;
typedef struct tw_cli_export {
    tw_cli_export_kind kind;
    tw_cli_what what;
    const char *file;
    const tw_plate *plate;
    const tw_plate_map *map;
    const tw_solid *solid;  /**< NULL: a picture or rows */
    tw_solid_weight weight; /**< of the solid */
} tw_cli_export;
/** @return "stl", "obj", "ply", "png", "csv" */
const char *tw_cli_export_word(tw_cli_export_kind kind);
void tw_show_export_text(tw_output *out, tw_units units, const tw_cli_export *found);
json_t *tw_show_export_json(const tw_cli_export *found);

#endif
