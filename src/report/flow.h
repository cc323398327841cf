/* flow.h - text, tables and pictures, one below the other, over as many pages as they take. Private to
 * src/report.
 *
 * What is to be printed is told twice to the same flow: first to find where pages end and how many there
 * are, then to draw. So nothing but the headings is kept, however long the report. Both times the same
 * must be told. Lengths are points; type sits on a leading of its style; a page breaks neither after a
 * heading nor after the first line of a paragraph or before its last. */
#pragma once
#include <gio/gio.h>
#include <pango/pangocairo.h>
#include <rakelight/map.h>
#include <rakelight/report.h>

typedef enum
{
  RAKE_TYPE_BODY,
  RAKE_TYPE_STRONG,
  RAKE_TYPE_SOFT,    /* grey: second to what stands beside it */
  RAKE_TYPE_SMALL,
  RAKE_TYPE_SMALL_STRONG,
  RAKE_TYPE_SMALL_SOFT,
  RAKE_TYPE_TITLE,   /* the name on the cover */
  RAKE_TYPE_LEAD,    /* the line under it */
  RAKE_TYPE_SECTION,
  RAKE_TYPE_PART,
  RAKE_N_TYPES,
} RakeType;

typedef enum { RAKE_ALIGN_LEFT, RAKE_ALIGN_RIGHT } RakeAlign;

typedef struct
{
  char *text;
  char *name;   /* of the destination it can be gone to */
  guint page;   /* from 1 */
  guint level;  /* 1 a section, 2 a part of it */
} RakeFlowHeading;

typedef struct
{
  cairo_surface_t *surface;
  cairo_t *cr;
  PangoContext *context;
  PangoFontDescription *fonts[RAKE_N_TYPES];
  PangoAttrList *figures;          /* of one width, so that columns of them can be compared */
  double page_width, page_height;
  double left, top, width, bottom; /* of what is printed on a page; bottom is the y of its end */
  double y;
  double keep;                     /* asked for by rake_flow_keep() */
  guint page, n_pages;             /* n_pages is 0 while pages are counted */
  gboolean is_drawn;
  gboolean is_pdf;                 /* FALSE: each page becomes a drawing in @pages, with no tags */
  GPtrArray *pages;                /* cairo_surface_t *, of those that are done */
  char *footer;                    /* at the foot of every page, beside the number */
  GPtrArray *headings;             /* RakeFlowHeading *, of the counting */
  guint n_headings;                /* met in this run */
  guint n_sections;
  int outline;                     /* the present section's entry in the outline */
  GPtrArray *column_widths;        /* double *, of each table met while counting */
  guint n_tables;                  /* met in this run */
  GHashTable *words[RAKE_N_TYPES]; /* text-width.h: a word to its RakeTextWidth, */
  GHashTable *lines[RAKE_N_TYPES]; /* a text to its PangoLayout */
  GPtrArray *alternatives;         /* char *: what stands for each picture, in order of drawing */
  RakeReportProgress progress;
  gpointer progress_data;
  GCancellable *cancellable;
  gboolean is_stopped;             /* cancelled, or the file cannot be written: nothing is drawn any more */
} RakeFlow;

/* surface  of a PDF; NULL: pages are kept as drawings */
void rake_flow_init (RakeFlow *flow, cairo_surface_t *surface, RakeSheet sheet, const char *language);
void rake_flow_clear (RakeFlow *flow);

/* Begin and end what is told, once for counting (@is_drawn FALSE) and once for drawing. */
void rake_flow_begin (RakeFlow *flow, gboolean is_drawn);
void rake_flow_end (RakeFlow *flow);

/* --- words on a spot ------------------------------------------------------------------------- */

/* A layout of @text, as wide as @width_pt at most (below 0: one line). Free with g_object_unref(). */
PangoLayout *rake_flow_lay (RakeFlow *flow, RakeType type, const char *text, double width_pt);
double rake_type_get_leading (RakeType type);
guint rake_flow_count_lines (PangoLayout *layout);
double rake_flow_get_width (PangoLayout *layout); /* of its longest line */

/* Draws @n_lines lines from @first on, the first one's top at @y, between x and x + width. */
void rake_flow_draw_lines (RakeFlow *flow, PangoLayout *layout, RakeType type, guint first,
                           guint n_lines, double x, double y, double width, RakeAlign align);
void rake_flow_rule (RakeFlow *flow, double x, double y, double width, double thickness_pt);

/* Between the rows of a table: grey, so that rows are parted and not fenced in. */
void rake_flow_hairline (RakeFlow *flow, double x, double y, double width);
void rake_flow_tag (RakeFlow *flow, const char *name);
void rake_flow_end_tag (RakeFlow *flow, const char *name);

/* --- blocks ---------------------------------------------------------------------------------- */

void rake_flow_break_page (RakeFlow *flow);
void rake_flow_space (RakeFlow *flow, double pt);

/* Goes to the next page unless so much of this one is left. */
void rake_flow_need (RakeFlow *flow, double pt);

/* The next heading stays on a page with so much of what follows it. */
void rake_flow_keep (RakeFlow *flow, double pt);

/* A section (level 1, numbered) or a part of one (2): in the outline and the contents, kept with what
 * follows. */
void rake_flow_heading (RakeFlow *flow, guint level, const char *text);
void rake_flow_end_section (RakeFlow *flow);

void rake_flow_paragraph (RakeFlow *flow, RakeType type, const char *text);

/* A paragraph with a dash before it, in a list. */
void rake_flow_begin_list (RakeFlow *flow);
void rake_flow_item (RakeFlow *flow, const char *text);
void rake_flow_end_list (RakeFlow *flow);

typedef void (*RakeFlowDraw) (RakeFlow *flow, double width, double height, gpointer user_data);

/* A picture in the whole width, with a caption under it, never parted from it.
 *
 * draw         called when drawing, with 0, 0 in the upper left corner
 * alternative  what it shows, for who cannot see it */
void rake_flow_figure (RakeFlow *flow, double height, RakeFlowDraw draw, gpointer user_data,
                       const char *alternative, const char *caption);
void rake_flow_set_ink (RakeFlow *flow, RakeType type);
