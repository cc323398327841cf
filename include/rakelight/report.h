/* report.h - the record of a job on paper: what the finisher hands over with the piece.
 *
 * One PDF: the piece, what was agreed, the schedule, coats and film, the maps of every face at every
 * stage, verdicts with their reasons, passes, looks, readings, marks, repairs, acceptances, what was
 * struck out, what was not examined, care, and the seal. docs/report.md says what stands in it, what
 * a seal proves and what it does not.
 *
 * The words are those of the process's language at the time of the call. The same job, options and
 * fonts give the same file: nothing of the machine, the account or the clock goes into it. */
#pragma once
#include <cairo.h>
#include <gio/gio.h>
#include <rakelight/job-file.h>
#include <rakelight/rules.h>
#include <rakelight/units.h>

#define RAKE_REPORT_ERROR (rake_report_error_quark ())
GQuark rake_report_error_quark (void);

typedef enum
{
  RAKE_REPORT_ERROR_WRITE, /* it could not be written: the disk is full, the folder is not there … */
  RAKE_REPORT_ERROR_DRAW,  /* a page could not be drawn; the message says why */
} RakeReportError;

typedef enum
{
  RAKE_EDITION_SHOP,   /* everything */
  RAKE_EDITION_CLIENT, /* without notes, which are the shop's own, and without what things cost */
} RakeEdition;

typedef enum
{
  RAKE_SHEET_A4,     /* 210 × 297 mm */
  RAKE_SHEET_LETTER, /* 8.5 × 11 in */
} RakeSheet;

/* The sheet in points. */
void rake_sheet_get_size (RakeSheet sheet, double *width_pt, double *height_pt);

/* One photograph as the report asks for it. The texts are the provider's, until the next call. */
typedef struct
{
  RakeId id;             /* of its entry: a photograph shown twice is written once */
  RakeId about;          /* the face, zone, mark or entry it shows; nil: the piece */
  int width_px, height_px;
  int quarter_turns;     /* clockwise, 0 to 3, to set it upright */
  gboolean is_mirrored;  /* left and right changed, before the turn */
  gint64 taken_ms;       /* UTC */
  int utc_offset_minutes; /* of the clock that it is told by */
  double lamp_deg;       /* where the lamp stood; NaN: not said */
  const char *caption;   /* may be NULL */
  gboolean is_withdrawn; /* its bytes are gone: the report says so in its place */
} RakeReportPhoto;

/* Where photographs come from, so that none need be in memory but the one being written. */
typedef struct
{
  guint (*get_n) (gpointer user_data);
  void (*get) (guint index, RakeReportPhoto *photo, gpointer user_data);
  /* The JPEG as it was taken or as it was made small; NULL with @error. */
  GBytes *(*load_jpeg) (guint index, gpointer user_data, GError **error);
  gpointer user_data;
} RakeReportPhotos;

typedef enum
{
  RAKE_REPORT_PHOTOS_SMALL,    /* the working copy where there is one: it can be mailed */
  RAKE_REPORT_PHOTOS_ORIGINAL, /* as the camera made it: a PDF of hundreds of megabytes */
} RakeReportPhotoSize;

/* The photographs of a job file, without what the camera noted beside the picture (place, maker,
 * comments). @file and @job must outlive it; it is used where @file is. */
RakeReportPhotos *rake_report_photos_new (RakeJobFile *file, const RakeJob *job,
                                          RakeReportPhotoSize size);
void rake_report_photos_free (RakeReportPhotos *photos);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeReportPhotos, rake_report_photos_free)

typedef struct
{
  RakeEdition edition;
  RakeSheet sheet;
  const RakeRules *rules;          /* ours; the job's own come first */
  gint64 now_ms;                   /* the time it is judged at and dated, UTC */
  int utc_offset_minutes;          /* of the place it is dated at */
  const char *seal;                /* 64 hexadecimal digits, or NULL */
  const char *client_name, *client_contact; /* may be NULL */
  const char *language;            /* "de": what the pages are written in, for screen readers */
  RakeUnits units;                 /* what numbers are shown in, whatever the process shows */
  const RakeReportPhotos *photos;  /* NULL: none */
} RakeReportOptions;

/* fraction  0 to 1, never falling */
typedef void (*RakeReportProgress) (double fraction, gpointer user_data);

/* Writes the report of @job to @path: beside it first, then under its name, so that there is a whole
 * report or none, and an older one stays until then. A page at a time; only lists of texts and one
 * photograph are in memory.
 *
 * progress     may be NULL; called from this thread
 * cancellable  may be NULL
 * returns      FALSE with RAKE_REPORT_ERROR, or G_IO_ERROR_CANCELLED; nothing is then left behind */
gboolean rake_report_write (const char *path, const RakeJob *job, const RakeReportOptions *options,
                            RakeReportProgress progress, gpointer user_data,
                            GCancellable *cancellable, GError **error);

/* The same report as drawings, a page each, to be looked at and printed: by the same code, at any scale.
 * Made in any thread, drawn in one at a time. */
typedef struct _RakeReportPages RakeReportPages;

/* As rake_report_write(); the photographs are decoded, small, and all pages are kept.
 *
 * returns  pages that the caller frees; NULL with RAKE_REPORT_ERROR_DRAW, or G_IO_ERROR_CANCELLED */
RakeReportPages *rake_report_pages_new (const RakeJob *job, const RakeReportOptions *options,
                                        RakeReportProgress progress, gpointer user_data,
                                        GCancellable *cancellable, GError **error);
void rake_report_pages_free (RakeReportPages *pages); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeReportPages, rake_report_pages_free)

guint rake_report_pages_get_n (const RakeReportPages *pages);
void rake_report_pages_get_size (const RakeReportPages *pages, double *width_pt, double *height_pt);

/* Draws page @index, from 0, with its upper left corner at 0, 0 and a unit of a point. The paper itself is
 * not drawn. */
void rake_report_pages_draw (const RakeReportPages *pages, guint index, cairo_t *cr);
