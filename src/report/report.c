/* report.c - from a job to a PDF: the order of the sections, twice over, and the file around them. */
#include "pdf-finish.h"
#include "report-private.h"
#include "whole-file.h"

#include <cairo-pdf.h>
#include <stdarg.h>

G_DEFINE_QUARK (rake-report-error-quark, rake_report_error)

/* --- what the sections ask ------------------------------------------------------------------- */

void
rake_report_say (RakeReport *report, RakeType type, const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list arguments;

  va_start (arguments, format);
  text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  rake_flow_paragraph (&report->flow, type, text);
}

gboolean
rake_report_is_out (const RakeReport *report, const RakeEntry *entry)
{
  return rake_job_is_struck (report->job, entry->id) || rake_job_is_void (report->job, entry->id);
}

void
rake_report_add_row (const RakeReport *report, RakeGrid *grid, const RakeEntry *entry)
{
  rake_grid_add_row_with (grid,
                          rake_report_is_out (report, entry) ? RAKE_CELL_STRUCK : RAKE_CELL_PLAIN);
}

RakeGrid *
rake_report_new_facts (void)
{
  RakeGrid *grid = rake_grid_new ();

  rake_grid_add_column (grid, NULL, RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, NULL, RAKE_ALIGN_LEFT, 1);
  return grid;
}

void
rake_report_add_fact (RakeGrid *grid, const char *name, char *value)
{
  g_autofree char *owned = value;

  if (owned == NULL || *owned == '\0')
    return;
  rake_grid_add_row (grid);
  rake_grid_add_with (grid, name, RAKE_CELL_SOFT, RAKE_SIGN_NONE, 0);
  rake_grid_add (grid, owned);
}

gboolean
rake_report_is_for_shop (const RakeReport *report)
{
  return report->options->edition == RAKE_EDITION_SHOP;
}

const char *
rake_report_name (const RakeReport *report, RakeId id)
{
  const char *name = rake_names_find (report->names, id);

  return name != NULL ? name : "–";
}

char *
rake_report_name_stage (const RakeReport *report, RakeId id)
{
  const RakeStageSpec *stage = rake_names_find_stage (report->names, id);

  return stage != NULL ? rake_print_step (stage->action, stage->grade) : g_strdup ("–");
}

char *
rake_report_name_zones (const RakeReport *report, const GArray *zones)
{
  g_autoptr (GString) line = g_string_new (NULL);

  for (guint i = 0; i < zones->len; i++)
    rake_print_add (line, rake_report_name (report, g_array_index (zones, RakeId, i)));
  return g_string_free (g_steal_pointer (&line), FALSE);
}

GPtrArray *
rake_report_judge (const RakeRules *rules, const RakeJob *job, const RakeFace *face, gint64 now_ms)
{
  GPtrArray *judgements = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_judgement_free);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements, rake_rules_judge (rules, job, face->zones->pdata[i], now_ms));
  return judgements;
}

RakeJudgement *const *
rake_report_get_judgements (const RakeReport *report, guint face)
{
  GPtrArray *judgements = report->judgements->pdata[face];

  return (RakeJudgement *const *) judgements->pdata;
}

/* --- all of it ------------------------------------------------------------------------------- */

static void
print_all (RakeReport *report, gboolean is_drawn)
{
  static void (*const sections[]) (RakeReport *) = {
    rake_report_print_cover,       rake_report_print_summary,    rake_report_print_agreed,
    rake_report_print_schedule,    rake_report_print_coats,      rake_report_print_film,
    rake_report_print_verdicts,    rake_report_print_maps,       rake_report_print_defects,
    rake_report_print_marks,       rake_report_print_repairs,    rake_report_print_acceptances,
    rake_report_print_readings,    rake_report_print_photos,     rake_report_print_work,
    rake_report_print_struck,      rake_report_print_notes,      rake_report_print_unexamined,
    rake_report_print_hand_over,   rake_report_print_warranty,   rake_report_print_claims,
    rake_report_print_care,        rake_report_print_seal,
  };

  rake_flow_begin (&report->flow, is_drawn);
  for (gsize i = 0; i < G_N_ELEMENTS (sections) && !report->flow.is_stopped; i++)
    {
      if (g_cancellable_is_cancelled (report->flow.cancellable))
        report->flow.is_stopped = TRUE;
      sections[i](report);
    }
  rake_flow_end (&report->flow);
}

static const char *
get_title (const RakeReport *report)
{
  const RakeJobFacts *facts = rake_job_find_facts (report->job);

  return facts != NULL && facts->name != NULL ? facts->name : _ ("Job");
}

static void
set_metadata (const RakeReport *report, cairo_surface_t *surface)
{
  const RakeJobFacts *facts = rake_job_find_facts (report->job);
  g_autofree char *title = g_strdup_printf (_ ("Finish record: %s"), get_title (report));
  char date[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (report->options->now_ms / 1000 * 1000, report->options->utc_offset_minutes,
                     date);
  /* Without the milliseconds, which cairo does not read. */
  g_strlcpy (date + 19, date + 23, sizeof date - 19);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  if (facts != NULL && facts->shop != NULL)
    cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_AUTHOR, facts->shop);
  if (facts != NULL && facts->piece != NULL)
    cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_SUBJECT, facts->piece);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Rakelight");
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
}

static void
set_footer (RakeReport *report)
{
  g_autofree char *day =
      rake_print_day (report->options->now_ms, report->options->utc_offset_minutes);
  const char *edition = report->options->edition == RAKE_EDITION_SHOP
                            ? _ ("Finish record, shop’s edition")
                            : _ ("Finish record");

  report->flow.footer =
      report->options->seal != NULL
          ? g_strdup_printf ("%s  ·  %s  ·  %s  ·  %s %.8s…", get_title (report), edition, day,
                             _ ("Seal"), report->options->seal)
          : g_strdup_printf ("%s  ·  %s  ·  %s", get_title (report), edition, day);
}

static void
judge_all (RakeReport *report)
{
  report->judgements = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    g_ptr_array_add (report->judgements, rake_report_judge (report->rules, report->job,
                                                            rake_job_get_face (report->job, i),
                                                            report->options->now_ms));
}

typedef struct
{
  RakeWholeFile *file;
  RakeFlow *flow;
} Sink;

/* A full disk is not told to cairo, which in 1.16 aborts when it meets one at its last tables: the flow is
 * stopped, and whatever cairo still writes goes nowhere. */
static cairo_status_t
write_bytes (void *closure, const unsigned char *bytes, unsigned int n_bytes)
{
  const Sink *sink = closure;

  if (!rake_whole_file_write (sink->file, bytes, n_bytes))
    sink->flow->is_stopped = TRUE;
  return CAIRO_STATUS_SUCCESS;
}

/* FALSE with @error set when it was cancelled or could not be drawn; a write that failed is told when
 * the file is committed. */
static gboolean
finish_drawing (RakeReport *report, RakeWholeFile *file, cairo_surface_t *surface, GError **error)
{
  cairo_status_t status = cairo_status (report->flow.cr);

  if (status == CAIRO_STATUS_SUCCESS && !report->flow.is_stopped)
    cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  if (g_cancellable_set_error_if_cancelled (report->flow.cancellable, error))
    return FALSE;
  if (status == CAIRO_STATUS_SUCCESS || rake_whole_file_has_failed (file))
    return TRUE;
  g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_DRAW,
               _ ("the report could not be drawn: %s"), cairo_status_to_string (status));
  return FALSE;
}

typedef struct
{
  RakeReportProgress progress;
  gpointer user_data;
  GCancellable *cancellable;
} Watch;

/* Told twice: once to count, once to draw. */
static void
tell (RakeReport *report, cairo_surface_t *surface, const Watch *watch)
{
  rake_flow_init (&report->flow, surface, report->options->sheet, report->options->language);
  report->flow.progress = watch->progress;
  report->flow.progress_data = watch->user_data;
  report->flow.cancellable = watch->cancellable;
  set_footer (report);
  print_all (report, FALSE);
  if (watch->progress != NULL && !report->flow.is_stopped)
    watch->progress (0.3, watch->user_data);
  if (!report->flow.is_stopped)
    print_all (report, TRUE);
}

static gboolean
draw (RakeReport *report, Sink *sink, const Watch *watch, GError **error)
{
  double width, height;
  cairo_surface_t *surface;
  gboolean is_drawn;

  rake_sheet_get_size (report->options->sheet, &width, &height);
  surface = cairo_pdf_surface_create_for_stream (write_bytes, sink, width, height);
  set_metadata (report, surface);
  tell (report, surface, watch);
  is_drawn = finish_drawing (report, sink->file, surface, error);
  cairo_surface_destroy (surface);
  return is_drawn;
}

static void
init (RakeReport *report, const RakeJob *job, const RakeReportOptions *options)
{
  *report = (RakeReport){ .job = job, .options = options };
  rake_units_choose_for_thread (&options->units);
  report->rules = rake_rules_for_job (job, (RakeRules *) options->rules);
  report->names = rake_names_new (job);
  report->moments = rake_report_find_moments (job);
  judge_all (report);
}

static void
clear (RakeReport *report)
{
  rake_flow_clear (&report->flow);
  g_clear_pointer (&report->judgements, g_ptr_array_unref);
  g_clear_pointer (&report->moments, g_array_unref);
  g_clear_pointer (&report->names, rake_names_free);
  g_clear_pointer (&report->rules, rake_rules_unref);
  rake_units_choose_for_thread (NULL);
}

gboolean
rake_report_write (const char *path, const RakeJob *job, const RakeReportOptions *options,
                   RakeReportProgress progress, gpointer user_data, GCancellable *cancellable,
                   GError **error)
{
  g_autoptr (RakeWholeFile) file = NULL;
  RakeReport report;
  const Watch watch = { progress, user_data, cancellable };
  Sink sink = { NULL, &report.flow }; /* cairo writes to it until the flow is cleared */
  gboolean is_written;

  g_return_val_if_fail (path != NULL && job != NULL && options != NULL, FALSE);

  file = rake_whole_file_new (path, error);
  if (file == NULL)
    return FALSE;
  sink.file = file;
  init (&report, job, options);
  is_written = draw (&report, &sink, &watch, error);
  if (is_written && !rake_whole_file_has_failed (file))
    rake_pdf_finish (file, options->language, report.flow.alternatives);
  is_written = is_written && rake_whole_file_commit (file, error);
  clear (&report);
  return is_written;
}

/* --- pages ------------------------------------------------------------------------------------ */

struct _RakeReportPages
{
  GPtrArray *drawings; /* cairo_surface_t * */
  double width, height;
};

RakeReportPages *
rake_report_pages_new (const RakeJob *job, const RakeReportOptions *options,
                       RakeReportProgress progress, gpointer user_data, GCancellable *cancellable,
                       GError **error)
{
  RakeReport report;
  const Watch watch = { progress, user_data, cancellable };
  RakeReportPages *self = NULL;
  cairo_status_t status;

  g_return_val_if_fail (job != NULL && options != NULL, NULL);

  init (&report, job, options);
  tell (&report, NULL, &watch);
  status = cairo_status (report.flow.cr);
  if (!g_cancellable_set_error_if_cancelled (cancellable, error) && status == CAIRO_STATUS_SUCCESS)
    {
      self = g_new0 (RakeReportPages, 1);
      self->drawings = g_steal_pointer (&report.flow.pages);
      self->width = report.flow.page_width;
      self->height = report.flow.page_height;
    }
  else if (status != CAIRO_STATUS_SUCCESS)
    g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_DRAW,
                 _ ("the report could not be drawn: %s"), cairo_status_to_string (status));
  clear (&report);
  return self;
}

void
rake_report_pages_free (RakeReportPages *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->drawings);
  g_free (self);
}

guint
rake_report_pages_get_n (const RakeReportPages *self)
{
  return self->drawings->len;
}

void
rake_report_pages_get_size (const RakeReportPages *self, double *width_pt, double *height_pt)
{
  *width_pt = self->width;
  *height_pt = self->height;
}

void
rake_report_pages_draw (const RakeReportPages *self, guint index, cairo_t *cr)
{
  g_return_if_fail (index < self->drawings->len);

  cairo_save (cr);
  cairo_set_source_surface (cr, self->drawings->pdata[index], 0, 0);
  cairo_rectangle (cr, 0, 0, self->width, self->height);
  cairo_fill (cr);
  cairo_restore (cr);
}
