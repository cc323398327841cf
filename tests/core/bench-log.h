/* bench-log.h - a logbook written line by line, for tests that tell a story.
 *
 * One face, 100 mm high, with zones side by side from left to right. Time stands still but for one
 * millisecond an entry and what log_wait() adds. Every entry must be taken; else the test fails. */
#pragma once
#include <rakelight/job.h>
#include <rakelight/rules.h>

/* The rules that come with the program; fails when they cannot be read. */
RakeRules *log_new_builtin_rules (void);

typedef struct
{
  RakeJob *job;
  RakeId bench, face;
  gint64 number, now_ms;
  GArray *stages; /* RakeId, in order */
} BenchLog;

/* stages  "level P800, refine P1200, last-look, buff cut, rest"
 * zones   "A 100, B 100, E 20 edge 1": name, width in mm, edge or not, index of its first stage */
BenchLog *log_new (RakeFinish finish, const char *stages, const char *zones);
void log_free (BenchLog *log);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BenchLog, log_free)

/* Gives @entry its head and applies it; the job keeps it. */
const RakeEntry *log_write (BenchLog *log, RakeEntry *entry);
void log_wait (BenchLog *log, double minutes);

const RakeZone *log_zone (const BenchLog *log, const char *name);
const RakeStage *log_stage (const BenchLog *log, guint index);

/* The job's facts again, to be changed and written. */
RakeEntry *log_new_facts (const BenchLog *log);

const RakeEntry *log_coat (BenchLog *log);
const RakeEntry *log_begin (BenchLog *log, guint stage);

/* zones       names, "A B"
 * stroke_deg  NaN: nobody noted it */
const RakeEntry *log_pass (BenchLog *log, guint stage, const char *zones, double stroke_deg);
const RakeEntry *log_pass_on_wheel (BenchLog *log, guint stage, const char *zones, RakeId wheel);

/* Dry, wiped with a dry cloth, under the lamp; or as said. */
const RakeEntry *log_look (BenchLog *log, const char *zone, double lamp_deg);
const RakeEntry *log_look_how (BenchLog *log, const char *zone, RakeSurface surface, RakeWipe wipe,
                               RakeLight light, double lamp_deg);

const RakeEntry *log_even (BenchLog *log, const RakeEntry *look);
const RakeEntry *log_state (BenchLog *log, const RakeEntry *look, RakeState state);

/* NaN for what was not said. */
const RakeEntry *log_low (BenchLog *log, const RakeEntry *look, double fraction, double island_mm,
                          double n_over_limit);

/* A square of @size_mm round x, y (a line along x for scratches and witness lines, a point for 0). */
const RakeEntry *log_mark (BenchLog *log, const RakeEntry *look, RakeMarkKind kind, double x_mm,
                           double y_mm, double size_mm);
const RakeEntry *log_still_there (BenchLog *log, const RakeEntry *look, const RakeEntry *mark,
                                  double size_mm);
const RakeEntry *log_gone (BenchLog *log, const RakeEntry *look, const RakeEntry *mark);
const RakeEntry *log_repair (BenchLog *log, const char *zone, RakeRepairMethod method,
                             const RakeEntry *mark, int back_to_stage);
const RakeEntry *log_reading (BenchLog *log, const char *zone, RakeQuantity quantity, double value);
const RakeEntry *log_wheel (BenchLog *log, const char *compound, RakeAnswer carried_other,
                            RakeId renews);
const RakeEntry *log_accept (BenchLog *log, const char *zone, const RakeJudgement *against);
