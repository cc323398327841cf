/* job-support.h - short ways to write a job down in tests. */
#pragma once
#include "random-log.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#define N_STAGES 4

/* A job with one face of 300 × 200 mm, the zones left and right of x = 150, and four stages: P400 and
 * P800 to level, P1500 to refine, "fine" to buff. */
typedef struct
{
  Random random;
  RandomBench *bench;
  RakeId facts, face, schedule, division, left, right, stages[N_STAGES];
} Bench;

Bench *bench_new (void);
void bench_free (Bench *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Bench, bench_free)

/* Writes @entry, which it takes over, as a gesture of its own and gives back its id. */
RakeId bench_write (Bench *self, RakeEntry *entry);

/* Asserts that the job refuses @entry with @code, and is as before; takes it over. */
void bench_refuses (Bench *self, RakeEntry *entry, RakeJobError code);

RakeEntry *new_zones (const Bench *self, RakeDivision division);
void add_zone (RakeEntry *zones, RakeId id, const char *name, RakeShape *shape);
RakeEntry *new_schedule (const Bench *self);
void add_stage (RakeEntry *schedule, RakeId id, RakeAction action, const char *grade, double d50_um);
RakeEntry *new_pass (RakeId stage, RakeId zone);
RakeEntry *new_look (RakeId zone);       /* dry, wiped, with a lamp */
RakeEntry *new_mark (RakeId look, RakeMarkKind kind, RakeShape *shape);
RakeEntry *new_state (RakeId look, RakeState state);
RakeEntry *new_revisit (RakeId look, RakeId mark, RakeOutcome outcome);
RakeEntry *new_repair (RakeId zone, RakeRepairMethod method, RakeId mark);
RakeEntry *new_strike (RakeId entry);    /* a correction */
RakeEntry *new_note (const char *text);

RakeId any_id (void);                    /* one that nothing has */
RakeShape *point_at (double x_mm, double y_mm);
RakeShape *line_from (double x_mm, double y_mm, double to_x_mm, double to_y_mm);

const RakeZone *zone_of (const Bench *self, RakeId id);

/* The zone's mark of that id, NULL when the zone has none. */
const RakeMark *mark_in (const Bench *self, RakeId zone, RakeId mark);

/* One word of a story: b1 begin stage 1; p1l, p1r a pass at stage 1 on the left, right zone; c a coat;
 * R1l a repair of the left zone that sends it back to stage 1; X a recoat; d1 a schedule without
 * stage 1. */
void write_script_step (Bench *self, const char *step);

/* The index of @stage in @self->stages. */
int stage_number (const Bench *self, const RakeStage *stage);

/* Left cut along y = 100; Left and Right joined. The ids of what comes out are given back. */
RakeEntry *new_cut_of_left (const Bench *self, RakeId *upper, RakeId *lower);
RakeEntry *new_join (const Bench *self, RakeId *whole);

guint count_in_history (const RakeZone *zone, RakeEntryKind kind);
