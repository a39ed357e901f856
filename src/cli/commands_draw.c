/* commands_draw.c: rows of the commands that draw, and no more. */
#include "command_rows.h"

const tw_command tw_draw_commands[] = {{0}};
