/*
 * cli_plan.h: what is to be made, from which sheet and blank, in which steps, and how far it has come.
 */
#ifndef CLI_PLAN_H
#define CLI_PLAN_H

#include "cli_internal.h"

#include "taperwright/plan.h"

/** What `stock` found out about a plate. */
typedef struct tw_cli_sheets {
    const tw_plate *plate;
    bool planned, all;
    const tw_blank *blank;
    tw_stock_request request;
    tw_stock_ranking ranking;
} tw_cli_sheets;
/** @brief `stock` of a plate: which sheet to begin with. */
tw_status tw_cli_stock_plate(const tw_args *args, tw_notes *errors);
void tw_show_sheets_text(tw_output *out, const tw_cli_sheets *found);
json_t *tw_show_sheets_json(const tw_cli_sheets *found);
void tw_show_sheets_csv(tw_output *out, const tw_cli_sheets *found);

/** What `plan` found out: a weight reached, or a least graded map with (or without) a trade-off. */
typedef struct tw_cli_plan {
    const tw_plate *plate;
    const tw_reach *reach; /**< else NULL */
    const tw_least *least; /**< else NULL */
    const tw_trade_off *trade;
    tw_plan_request request; /**< of least */
} tw_cli_plan;
void tw_show_plan_text(tw_output *out, tw_units units, const tw_cli_plan *found);
json_t *tw_show_plan_json(const tw_cli_plan *found);
void tw_show_plan_csv(tw_output *out, const tw_cli_plan *found);

/** --map of the commands that plan work: which thickness is to be made. */
typedef enum tw_cli_wanted { TW_CLI_WANTED_FORGED, TW_CLI_WANTED_PLAN } tw_cli_wanted;
/** What is to be made: the profile's plan where it has one and --map does not say otherwise, else its
 * forged map; from --stock, or the profile's sheet. */
typedef struct tw_cli_goal {
    bool planned;  /**< least holds */
    tw_plan *plan; /**< else NULL */
    tw_least least;
    tw_goal goal;
} tw_cli_goal;
/** @param[out] out  pair with tw_cli_goal_release(), also on failure */
tw_status tw_cli_goal_make(const tw_args *args, const tw_plate *plate, tw_cli_goal *out,
                           tw_error *err);
void tw_cli_goal_release(tw_cli_goal *goal);
/**
 * @brief The least graded map. What was not typed of the request (NaN, NULL) is filled in from the profile's
 * plan when it has one; the least thickness else is the thinnest that is asked for anywhere.
 * @param[out] plan  pair with tw_plan_free()
 * @param[out] out   pair with tw_least_release()
 */
tw_status tw_cli_plan_least(const tw_args *args, const tw_plate *plate, tw_plan_request *request,
                            tw_plan **plan, tw_least *out, tw_error *err);

/** A point of the plate and of its blank. */
typedef struct tw_cli_mapped {
    double tape[2], blank[2];
    bool back; /**< asked for by its place on the blank */
} tw_cli_mapped;
/** What `blank` found out. */
typedef struct tw_cli_blank {
    const tw_blank *blank;
    size_t point_count;
    tw_cli_mapped *points;
} tw_cli_blank;
void tw_show_blank_text(tw_output *out, tw_units units, const tw_cli_blank *found);
json_t *tw_show_blank_json(const tw_cli_blank *found);
void tw_show_blank_csv(tw_output *out, const tw_cli_blank *found);

void tw_show_steps_text(tw_output *out, tw_units units, const tw_steps *steps);
json_t *tw_show_steps_json(const tw_steps *steps);
void tw_show_steps_csv(tw_output *out, const tw_steps *steps);

void tw_show_card_text(tw_output *out, tw_units units, const tw_card *card);
json_t *tw_show_card_json(const tw_card *card);
/** @brief A table of readings as a profile and `plan --readings` take it, thicknesses left empty. */
void tw_show_card_csv(tw_output *out, const tw_card *card);
/** What `plan --readings` and `plan --log` found out: work in progress. */
typedef struct tw_cli_work {
    const tw_goal *goal;
    const tw_gauging *gauging; /**< NULL without readings */
    const tw_work_readings *readings;
    const tw_work_log *log; /**< with the entry just made; NULL without */
    const char *log_file;
} tw_cli_work;
/** @brief Refuse options of `plan` that say something of readings of the work where none are given; a log alone
 * takes --map, to know what is to be made. */
tw_status tw_cli_needs_readings(const tw_args *args, tw_error *err);
/** @brief `plan` where --readings or --log is given. */
tw_status tw_cli_gauge(const tw_args *args, tw_notes *errors);
void tw_show_work_text(tw_output *out, tw_units units, const tw_cli_work *found);
json_t *tw_show_work_json(const tw_cli_work *found);
void tw_show_work_csv(tw_output *out, const tw_cli_work *found);

#endif
