/*
 * progress.c: Ctrl-C, SIGTERM and the progress line. The handler only sets a flag; work asks for it between
 * steps and gives up, so that outputs are abandoned by the code that began them. Work that has not asked
 * within two seconds is ended where it stands, as by a second signal at once; no file is half written
 * then either, as outputs take their place whole.
 */
#include "cli_internal.h"

#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static atomic_int
    interrupted; /* the signal's number; a signal handler can reach nothing else; threads ask for it */

enum { GRACE_SECONDS = 2 };

static void on_interrupt(int number)
{
    interrupted = number;
    alarm(GRACE_SECONDS);
}

static void on_alarm(int number)
{
    static const char text[] = "taperwright: stopped\n";

    (void)number;
    if (write(STDERR_FILENO, text, sizeof text - 1) < 0) /* nobody to tell */
        (void)0;
    _exit(128 + interrupted);
}

static void catch (int number)
{
    struct sigaction action, before;

    memset(&action, 0, sizeof action);
    action.sa_handler = on_interrupt;
    action.sa_flags = (int)SA_RESETHAND; /* a second Ctrl-C stops at once */
    sigemptyset(&action.sa_mask);
    /* Started in the background with Ctrl-C ignored, it stays ignored. */
    if (sigaction(number, NULL, &before) == 0 && before.sa_handler == SIG_IGN)
        return;
    sigaction(number, &action, NULL);
}

void tw_cli_catch_interrupt(void)
{
    struct sigaction action;

    memset(&action, 0, sizeof action);
    action.sa_handler = on_alarm;
    sigemptyset(&action.sa_mask);
    sigaction(SIGALRM, &action, NULL);
    catch (SIGINT);
    catch (SIGTERM);
}

void tw_cli_wait_for_work(void)
{
    signal(SIGALRM, SIG_IGN);
}

bool tw_cli_interrupted(void)
{
    return interrupted != 0;
}

int tw_cli_exit_code(tw_status status)
{
    const int number = interrupted;

    return status == TW_ERR_INTERRUPTED && number != 0 ? 128 + number : tw_status_exit(status);
}

double tw_cli_seconds(void)
{
    struct timespec now;

    if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
        return 0;
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

bool tw_cli_progress_step(const char *step, double share, void *context)
{
    tw_cli_progress *progress = context;

    if (progress->begun == 0)
        progress->begun = tw_cli_seconds();
    if (tw_cli_seconds() - progress->begun > 1.0 && isatty(STDERR_FILENO)) {
        fprintf(stderr, "\r\033[K%s %3.0f %%", step, 100 * share);
        fflush(stderr);
        progress->shown = true;
    }
    return !tw_cli_interrupted();
}

void tw_cli_progress_clear(tw_cli_progress *progress)
{
    if (progress->shown)
        fputs("\r\033[K", stderr);
    progress->shown = false;
}
