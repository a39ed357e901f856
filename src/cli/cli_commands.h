/*
 * cli_commands.h: what the command table calls, one function to a cmd_NAME.c; `new` takes two files.
 */
#ifndef CLI_COMMANDS_H
#define CLI_COMMANDS_H

#include "cli_options.h"

tw_status tw_cmd_batch(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_weigh(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_compare(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_readings(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_limits(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_plan(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_blank(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_client(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_series(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_steps(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_card(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_view(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_export(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_check(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_new(const tw_args *args, tw_notes *errors);
/** @brief `new` where --card is given. */
tw_status tw_cli_new_card(const tw_args *args, tw_notes *errors);
/** @return a template by name; NULL with the nearest in err. */
const tw_template *tw_cli_template_find(const char *form, tw_error *err);
tw_status tw_cmd_originals(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_harness(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_stock(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_help(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_manual(const tw_args *args, tw_notes *errors);

#endif
