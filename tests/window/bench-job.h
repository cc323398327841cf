/* bench-job.h - a small job at the bench for the window's tests, in a folder that goes away.
 *
 * One face, 200 by 120 mm, cut upright into "Left" (0 to 60 mm), "Middle" (60 to 130) and "Right"
 * (130 to 200); nitrocellulose, one coat, cured long since; P800, P1200, last look, cut. The clock
 * stands at 2026-03-02 09:00 UTC and goes on one second with every reading. */
#pragma once
#include "session.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

typedef struct
{
  char *folder;
  char *path;            /* of the job file */
  RakeRules *rules;      /* the program's own */
  RakeSession *session;
  RakeId face, left, middle, right;
  RakeId stages[4];
  GPtrArray *messages;   /* what the session said */
} Bench;

/* For cmocka's setup and teardown: *state is a Bench with its session open. */
int bench_set_up (void **state);
int bench_take_down (void **state);

/* Before the first use of GLib's folders: settings and bench id go where nobody keeps any. */
void bench_use_own_folders (void);

/* Lets the session go, and everything that still belongs to it. */
void bench_close (Bench *bench);
void bench_reopen (Bench *bench);

/* The lamp low at 90°, strokes at 0°, on a surface wiped dry with a dry cloth; paper unsaid. */
void bench_set_dry (Bench *bench);

void bench_let_time_pass (double seconds);

const RakeZone *bench_get_zone (Bench *bench, RakeId zone);
void bench_select (Bench *bench, RakeId zone);
RakeVerdict bench_get_verdict (Bench *bench, RakeId zone);
guint bench_count_entries (Bench *bench);

/* The last entry of the live job, and the nth before it. */
const RakeEntry *bench_get_last (Bench *bench, guint nth_before);

/* "" when the session said nothing since the last bench_forget_messages(). */
const char *bench_get_message (Bench *bench);
void bench_forget_messages (Bench *bench);

RakeShape *bench_new_line (double x1, double y1, double x2, double y2);
RakeShape *bench_new_patch (double x, double y, double radius);
