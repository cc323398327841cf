/* report-private.h - what the sections of the report share. */
#pragma once
#include "grid.h"
#include "names.h"
#include "print-words.h"

#include <rakelight/report.h>

/* A face as it was after the first @n_entries entries: when it left a stage, or now. */
typedef struct
{
  RakeId face;
  guint n_entries;
  gboolean is_now;
  gboolean is_hand_over; /* it was handed over then */
} RakeReportMoment;

typedef struct
{
  RakeFlow flow;
  const RakeJob *job;
  const RakeReportOptions *options;
  RakeRules *rules;      /* the job's own, else the options' */
  RakeNames *names;
  GPtrArray *judgements; /* for each face a GPtrArray of RakeJudgement *, one a zone */
  GArray *moments;       /* RakeReportMoment, by face */
} RakeReport;

RakeJudgement *const *rake_report_get_judgements (const RakeReport *report, guint face);

/* One judgement a zone of @face. Frees with the array, before @rules. */
GPtrArray *rake_report_judge (const RakeRules *rules, const RakeJob *job, const RakeFace *face,
                              gint64 now_ms);

/* The sections, in order. Each prints a heading and what belongs under it, or nothing. */
void rake_report_print_cover (RakeReport *report);
void rake_report_print_summary (RakeReport *report);
void rake_report_print_agreed (RakeReport *report);
void rake_report_print_schedule (RakeReport *report);
void rake_report_print_coats (RakeReport *report);
void rake_report_print_film (RakeReport *report);
void rake_report_print_maps (RakeReport *report);
void rake_report_print_verdicts (RakeReport *report);
void rake_report_print_work (RakeReport *report);
void rake_report_print_readings (RakeReport *report);
void rake_report_print_marks (RakeReport *report);
void rake_report_print_defects (RakeReport *report);
void rake_report_print_repairs (RakeReport *report);
void rake_report_print_acceptances (RakeReport *report);
void rake_report_print_photos (RakeReport *report);
void rake_report_print_struck (RakeReport *report);
void rake_report_print_notes (RakeReport *report);
void rake_report_print_unexamined (RakeReport *report);
void rake_report_print_hand_over (RakeReport *report);
void rake_report_print_warranty (RakeReport *report);
void rake_report_print_claims (RakeReport *report);
void rake_report_print_care (RakeReport *report);
void rake_report_print_seal (RakeReport *report);

/* The stages at which a face has been are moments to show it at. */
GArray *rake_report_find_moments (const RakeJob *job);

/* Up to two moments of faces beside each other. */
void rake_report_print_moments (RakeReport *report, const RakeReportMoment *moments, guint n);

/* The photographs of an id (G_MAXUINT for none), and a row or rows of some of them. */
guint rake_report_find_photo (const RakeReport *report, RakeId id);
void rake_report_print_some_photos (RakeReport *report, const GArray *indexes);

/* A paragraph of a format. */
void rake_report_say (RakeReport *report, RakeType type, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

/* Where an entry stands for nothing any more. */
gboolean rake_report_is_out (const RakeReport *report, const RakeEntry *entry);

/* A row for @entry: struck through when it is out. */
void rake_report_add_row (const RakeReport *report, RakeGrid *grid, const RakeEntry *entry);

/* "Name  value" in a grid of two columns without a head; nothing for what is NULL or empty. The value
 * is freed. */
void rake_report_add_fact (RakeGrid *grid, const char *name, char *value);
RakeGrid *rake_report_new_facts (void);

gboolean rake_report_is_for_shop (const RakeReport *report);

/* The name of a zone (also one that was cut since), "–" for none. */
const char *rake_report_name (const RakeReport *report, RakeId id);

/* "Level P800" of a stage's id. */
char *rake_report_name_stage (const RakeReport *report, RakeId id);

/* "Upper bass, Tail treble". */
char *rake_report_name_zones (const RakeReport *report, const GArray *zones);
