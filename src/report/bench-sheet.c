/* bench-sheet.c - see bench-sheet.h. One page: a head, the face, a table to tick. */
#include "flow.h"
#include "pdf-finish.h"
#include "print-words.h"
#include "whole-file.h"

#include <rakelight/bench-sheet.h>

#include <cairo-pdf.h>
#include <math.h>

#define RING_ROOM_PT 34.0
#define TICK_PT 5.0
#define ROW_PT 15.5
#define HEAD_PT 34.0
#define BOX_PT 8.0
#define TABLE_SHARE 0.46 /* of the page at most; the rest is the map's */
#define LABEL_PT 8.2
#define LINE_PT 0.5
#define PALE 0.62

typedef struct
{
  RakeFlow *flow;
  const RakeJob *job;
  const RakeFace *face;
} Sheet;

/* --- the map --------------------------------------------------------------------------------- */

/* The ring on which the lamp stands, with a tick every 15° and a number every 45°. */
static void
draw_ring (const Sheet *sheet, RakeMapView *view)
{
  cairo_t *cr = sheet->flow->cr;

  cairo_set_source_rgb (cr, PALE, PALE, PALE);
  cairo_set_line_width (cr, LINE_PT);
  cairo_new_path (cr); /* writing a label leaves a point behind */
  for (int deg = 0; deg <= 360; deg += 3)
    {
      double x, y;

      view->lamp_deg = deg % 360;
      if (rake_map_get_lamp (view, sheet->face, &x, &y))
        cairo_line_to (cr, x, y);
    }
  cairo_stroke (cr);
}

static void
draw_tick (const Sheet *sheet, RakeMapView *view, int deg)
{
  RakeFlow *flow = sheet->flow;
  double angle = deg * G_PI / 180, out_x = sin (angle), out_y = -cos (angle), x, y;
  gboolean is_numbered = deg % 45 == 0;
  g_autofree char *number = rake_print_direction (deg);
  g_autoptr (PangoLayout) layout = rake_flow_lay (flow, RAKE_TYPE_SMALL, number, -1);
  double width = rake_flow_get_width (layout), leading = rake_type_get_leading (RAKE_TYPE_SMALL);

  view->lamp_deg = deg;
  if (!rake_map_get_lamp (view, sheet->face, &x, &y))
    return;
  rake_flow_set_ink (flow, RAKE_TYPE_BODY);
  cairo_set_line_width (flow->cr, LINE_PT);
  cairo_move_to (flow->cr, x, y);
  cairo_line_to (flow->cr, x + out_x * TICK_PT * (is_numbered ? 1 : 0.6),
                 y + out_y * TICK_PT * (is_numbered ? 1 : 0.6));
  cairo_stroke (flow->cr);
  if (is_numbered)
    rake_flow_draw_lines (
        flow, layout, RAKE_TYPE_SMALL, 0, 1, x + out_x * (TICK_PT + 2 + width / 2) - width / 2,
        y + out_y * (TICK_PT + 2 + leading / 2) - leading / 2, width, RAKE_ALIGN_LEFT);
}

static void
draw_map (RakeFlow *flow, double width, double height, gpointer user_data)
{
  const Sheet *sheet = user_data;
  RakeMapView view = { .theme = RAKE_THEME_PAPER,
                       .width_px = width,
                       .height_px = height - 14,
                       .lamp_deg = NAN,
                       .text_px = LABEL_PT,
                       .is_paper = TRUE };
  guint n_zones = sheet->face->zones->len;
  g_autofree RakeJudgement **none = g_new0 (RakeJudgement *, n_zones + 1);
  g_autoptr (GArray) labels = NULL;

  rake_map_view_fit (&view, sheet->face, RING_ROOM_PT);
  labels = rake_map_lay_labels (flow->cr, &view, sheet->face, none);
  rake_map_draw_seams (flow->cr, &view, sheet->face);
  for (guint i = 0; i < n_zones; i++)
    rake_map_draw_label (flow->cr, &view, sheet->face->zones->pdata[i], NULL,
                         &g_array_index (labels, RakeMapLabel, i));
  draw_ring (sheet, &view);
  for (int deg = 0; deg < 360; deg += 15)
    draw_tick (sheet, &view, deg);
  rake_map_draw_scale_bar (flow->cr, &view, 1, height - 3);
}

/* --- the table ------------------------------------------------------------------------------- */

/* How a column is filled in: ticked boxes, or a line to write on. */
typedef struct
{
  const char *title;
  double width_pt;
  guint n_boxes;
  RakeState state; /* a picture over the title */
} Column;

static const Column columns[] = {
  { N_ ("Passes"), 58, 4, RAKE_STATE_UNSAID },
  { N_ ("Lamp"), 34, 0, RAKE_STATE_UNSAID },
  { N_ ("Glossy"), 40, 0, RAKE_STATE_LOW_SPOT },
  { N_ ("Even"), 40, 1, RAKE_STATE_UNIFORM },
  { N_ ("Scratch"), 44, 1, RAKE_STATE_SCRATCH },
  { N_ ("Witness line"), 50, 1, RAKE_STATE_WITNESS_LINE },
  { N_ ("Burn"), 44, 1, RAKE_STATE_BURN },
  { N_ ("Sand-through"), 50, 1, RAKE_STATE_SAND_THROUGH },
};

static double
get_width_of_columns (void)
{
  double width = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    width += columns[i].width_pt;
  return width;
}

static void
draw_head (RakeFlow *flow, double first)
{
  double x = first;

  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    {
      g_autoptr (PangoLayout) title =
          rake_flow_lay (flow, RAKE_TYPE_SMALL, _ (columns[i].title), columns[i].width_pt - 4);
      guint n_lines = MIN (rake_flow_count_lines (title), 2);

      if (columns[i].state != RAKE_STATE_UNSAID)
        {
          cairo_save (flow->cr);
          cairo_translate (flow->cr, x, flow->y);
          rake_map_draw_state_picture (flow->cr, RAKE_THEME_PAPER, columns[i].state, 22, 11);
          cairo_restore (flow->cr);
        }
      rake_flow_tag (flow, "TH");
      rake_flow_draw_lines (flow, title, RAKE_TYPE_SMALL, 0, n_lines, x, flow->y + 12,
                            columns[i].width_pt, RAKE_ALIGN_LEFT);
      rake_flow_end_tag (flow, "TH");
      x += columns[i].width_pt;
    }
  flow->y += HEAD_PT;
  rake_flow_rule (flow, flow->left, flow->y, flow->width, LINE_PT);
}

static void
draw_boxes (RakeFlow *flow, const Column *column, double x, double y)
{
  rake_flow_set_ink (flow, RAKE_TYPE_BODY);
  cairo_set_line_width (flow->cr, LINE_PT);
  for (guint i = 0; i < column->n_boxes; i++)
    cairo_rectangle (flow->cr, x + i * (BOX_PT + 4) + 0.5, y + (ROW_PT - BOX_PT) / 2, BOX_PT,
                     BOX_PT);
  if (column->n_boxes == 0)
    {
      cairo_move_to (flow->cr, x, y + ROW_PT - 3.5);
      cairo_rel_line_to (flow->cr, column->width_pt - 10, 0);
    }
  cairo_stroke (flow->cr);
}

static void
draw_row (RakeFlow *flow, const RakeZone *zone, double first)
{
  double leading = rake_type_get_leading (RAKE_TYPE_SMALL), x = first;
  g_autoptr (PangoLayout) name =
      rake_flow_lay (flow, RAKE_TYPE_SMALL, zone->name, first - flow->left - 6);

  pango_layout_set_ellipsize (name, PANGO_ELLIPSIZE_END);
  rake_flow_tag (flow, "TR");
  rake_flow_tag (flow, "TH");
  rake_flow_draw_lines (flow, name, RAKE_TYPE_SMALL, 0, 1, flow->left,
                        flow->y + (ROW_PT - leading) / 2, first, RAKE_ALIGN_LEFT);
  rake_flow_end_tag (flow, "TH");
  rake_flow_end_tag (flow, "TR");
  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    {
      draw_boxes (flow, &columns[i], x, flow->y);
      x += columns[i].width_pt;
    }
  flow->y += ROW_PT;
  rake_flow_hairline (flow, flow->left, flow->y, flow->width);
}

/* Zones that have the face's stage now come first: they are what is worked on. */
static GPtrArray *
order_zones (const RakeFace *face)
{
  GPtrArray *zones = g_ptr_array_new ();

  for (int is_late = FALSE; is_late <= TRUE; is_late++)
    for (guint i = 0; i < face->zones->len; i++)
      {
        const RakeZone *zone = face->zones->pdata[i];

        if ((zone->stage != face->stage) == is_late)
          g_ptr_array_add (zones, (gpointer) zone);
      }
  return zones;
}

static void
print_table (const Sheet *sheet, const GPtrArray *zones, guint n_rows)
{
  RakeFlow *flow = sheet->flow;
  double first = flow->left + flow->width - get_width_of_columns ();

  rake_flow_tag (flow, "Table");
  rake_flow_tag (flow, "TR");
  draw_head (flow, first);
  rake_flow_end_tag (flow, "TR");
  for (guint i = 0; i < n_rows; i++)
    draw_row (flow, zones->pdata[i], first);
  rake_flow_end_tag (flow, "Table");
  if (n_rows < zones->len)
    {
      guint n_more = zones->len - n_rows;
      g_autofree char *more =
          g_strdup_printf (ngettext ("%u zone more, which has no row here.",
                                     "%u zones more, which have no row here.", n_more),
                           n_more);
      flow->y += 3;
      rake_flow_paragraph (flow, RAKE_TYPE_SMALL_SOFT, more);
    }
}

/* --- the page -------------------------------------------------------------------------------- */

static char *
new_title (const Sheet *sheet)
{
  const RakeJobFacts *facts = rake_job_find_facts (sheet->job);

  /* Translators: a job's name and the name of one of its faces. */
  return g_strdup_printf (_ ("%s — %s"), facts != NULL ? facts->name : _ ("Job"),
                          sheet->face->name);
}

/* Lines to write on: who, when. */
static void
print_blanks (RakeFlow *flow)
{
  const char *const blanks[] = { _ ("Date"), _ ("Who"), _ ("Wiped with"), _ ("Strokes") };
  double width = flow->width / (guint) G_N_ELEMENTS (blanks);

  for (gsize i = 0; i < G_N_ELEMENTS (blanks); i++)
    {
      g_autoptr (PangoLayout) layout = rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, blanks[i], -1);
      double x = flow->left + (guint) i * width, end = rake_flow_get_width (layout) + 4;

      rake_flow_draw_lines (flow, layout, RAKE_TYPE_SMALL_SOFT, 0, 1, x, flow->y, width,
                            RAKE_ALIGN_LEFT);
      rake_flow_rule (flow, x + end, flow->y + 9.5, MAX (width - end - 12, 10), 0.4);
    }
  flow->y += 18;
}

static void
print_sheet (const Sheet *sheet)
{
  RakeFlow *flow = sheet->flow;
  g_autoptr (GPtrArray) zones = order_zones (sheet->face);
  g_autofree char *title = new_title (sheet), *stage = rake_print_stage (sheet->face->stage);
  g_autoptr (PangoLayout) layout = rake_flow_lay (flow, RAKE_TYPE_SECTION, title, flow->width);
  double most = TABLE_SHARE * (flow->bottom - flow->top) - HEAD_PT - 18;
  guint n_rows = MIN (zones->len, (guint) (most / ROW_PT));
  double table = HEAD_PT + n_rows * ROW_PT + (n_rows < zones->len ? 18 : 0);

  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  rake_flow_tag (flow, "H1");
  rake_flow_draw_lines (flow, layout, RAKE_TYPE_SECTION, 0, 1, flow->left, flow->y, flow->width,
                        RAKE_ALIGN_LEFT);
  rake_flow_end_tag (flow, "H1");
  flow->y += rake_type_get_leading (RAKE_TYPE_SECTION);
  rake_flow_paragraph (flow, RAKE_TYPE_SOFT, stage);
  flow->y += 4;
  print_blanks (flow);
  rake_flow_figure (flow, flow->bottom - flow->y - table - 18, draw_map, (gpointer) sheet,
                    _ ("The face with its zones, and the lamp’s directions around it"), NULL);
  flow->y = flow->bottom - table;
  print_table (sheet, zones, n_rows);
}

static cairo_status_t
write_bytes (void *closure, const unsigned char *bytes, unsigned int n_bytes)
{
  /* A full disk is told by the commit; cairo 1.16 may abort when it is told one. */
  rake_whole_file_write (closure, bytes, n_bytes);
  return CAIRO_STATUS_SUCCESS;
}

static cairo_status_t
draw (Sheet *sheet, RakeFlow *flow, RakeSheet size, RakeWholeFile *file)
{
  double width, height;
  g_autofree char *title = new_title (sheet);
  cairo_surface_t *surface;
  cairo_status_t status;

  rake_sheet_get_size (size, &width, &height);
  surface = cairo_pdf_surface_create_for_stream (write_bytes, file, width, height);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Rakelight");
  rake_flow_init (flow, surface, size, NULL);
  sheet->flow = flow;
  flow->footer = g_strdup (_ ("Bench sheet: to be copied into the logbook by hand"));
  flow->n_pages = 1;
  rake_flow_begin (flow, TRUE);
  print_sheet (sheet);
  rake_flow_end (flow);
  status = cairo_status (flow->cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

gboolean
rake_bench_sheet_write (const char *path, const RakeJob *job, const RakeFace *face, RakeSheet size,
                        GError **error)
{
  g_autoptr (RakeWholeFile) file = rake_whole_file_new (path, error);
  Sheet sheet = { NULL, job, face };
  RakeFlow flow;
  cairo_status_t status;
  gboolean is_written = FALSE;

  if (file == NULL)
    return FALSE;
  status = draw (&sheet, &flow, size, file);
  if (status != CAIRO_STATUS_SUCCESS && !rake_whole_file_has_failed (file))
    g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_DRAW,
                 _ ("the bench sheet could not be drawn: %s"), cairo_status_to_string (status));
  else
    {
      if (status == CAIRO_STATUS_SUCCESS)
        /* Translators: the code of the language this is translated into, as "de". */
        rake_pdf_finish (file, C_ ("language code", "en"), flow.alternatives);
      is_written = rake_whole_file_commit (file, error);
    }
  rake_flow_clear (&flow);
  return is_written;
}
