/* report-cover.c - the first page: the piece, whose it is, how it stands, what is inside. */
#include "report-private.h"

#include <math.h>

#define PICTURE_TOP_PT 196.0
#define FACE_GAP_PT 22.0
#define NAME_PT 14.0 /* under each face */
#define FACTS_PT 244.0
#define CONTENTS_GAP_PT 2.4 /* between lines, where there is room for it */

/* --- the piece ------------------------------------------------------------------------------- */

typedef struct
{
  double width, height; /* of the room */
  double scale;
  double *x, *y;
  guint *order; /* the tallest first: then a shelf holds what is of a height */
  guint n;
} Shelf;

static RakeBounds
bounds_of (const RakeReport *report, guint index)
{
  return rake_shape_get_bounds (rake_job_get_face (report->job, index)->outline);
}

/* Where the last of the faces would end that begin with @first and stand on one shelf. */
static guint
fill_shelf (const RakeReport *report, const Shelf *shelf, guint first, double *height)
{
  double x = 0;
  guint i;

  *height = 0;
  for (i = first; i < shelf->n; i++)
    {
      RakeBounds box = bounds_of (report, shelf->order[i]);
      double width = (box.max_x_mm - box.min_x_mm) * shelf->scale;

      if (i > first && x + width > shelf->width)
        break;
      shelf->x[i] = x;
      x += width + FACE_GAP_PT;
      *height = MAX (*height, (box.max_y_mm - box.min_y_mm) * shelf->scale);
    }
  for (guint j = first; j < i; j++)
    shelf->x[j] += (shelf->width - (x - FACE_GAP_PT)) / 2;
  return i;
}

/* Puts all faces on shelves, one below the other, at one scale. FALSE when they do not fit. */
static gboolean
fill_shelves (const RakeReport *report, const Shelf *shelf)
{
  double y = 0, height;

  for (guint first = 0; first < shelf->n;)
    {
      guint end = fill_shelf (report, shelf, first, &height);

      for (guint i = first; i < end; i++)
        {
          RakeBounds box = bounds_of (report, shelf->order[i]);

          if ((box.max_x_mm - box.min_x_mm) * shelf->scale > shelf->width + 1e-6)
            return FALSE;
          shelf->y[i] = y + (height - (box.max_y_mm - box.min_y_mm) * shelf->scale) / 2;
        }
      y += height + NAME_PT + FACE_GAP_PT / 2;
      first = end;
    }
  return y - FACE_GAP_PT / 2 <= shelf->height;
}

static void
choose_scale (const RakeReport *report, Shelf *shelf)
{
  double least = 0, most = 12; /* points a mm: a ring box is not to fill the page */

  for (int i = 0; i < 30; i++)
    {
      shelf->scale = (least + most) / 2;
      if (fill_shelves (report, shelf))
        least = shelf->scale;
      else
        most = shelf->scale;
    }
  shelf->scale = least;
  fill_shelves (report, shelf);
}

static void
draw_piece_face (RakeReport *report, const Shelf *shelf, guint place)
{
  RakeFlow *flow = &report->flow;
  guint index = shelf->order[place];
  const RakeFace *face = rake_job_get_face (report->job, index);
  RakeJudgement *const *judgements = rake_report_get_judgements (report, index);
  RakeBounds box = bounds_of (report, index);
  double width = (box.max_x_mm - box.min_x_mm) * shelf->scale;
  double height = (box.max_y_mm - box.min_y_mm) * shelf->scale;
  RakeMapView view = { .theme = RAKE_THEME_PAPER,
                       .width_px = width,
                       .height_px = height,
                       .lamp_deg = NAN,
                       .is_paper = TRUE };
  g_autoptr (PangoLayout) name = rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, face->name, -1);

  cairo_save (flow->cr);
  cairo_translate (flow->cr, shelf->x[place], shelf->y[place]);
  rake_map_view_fit (&view, face, 0);
  for (guint i = 0; i < face->zones->len; i++)
    rake_map_draw_zone (flow->cr, &view, face->zones->pdata[i], judgements[i]);
  rake_map_draw_seams (flow->cr, &view, face);
  for (guint i = 0; i < face->zones->len; i++)
    rake_map_draw_marks (flow->cr, &view, face->zones->pdata[i], judgements[i]);
  cairo_restore (flow->cr);
  rake_flow_draw_lines (flow, name, RAKE_TYPE_SMALL_SOFT, 0, 1,
                        shelf->x[place] + (width - rake_flow_get_width (name)) / 2,
                        shelf->y[place] + height + 3, width, RAKE_ALIGN_LEFT);
}

static int
compare_heights (gconstpointer a, gconstpointer b, gpointer user_data)
{
  RakeBounds one = bounds_of (user_data, *(const guint *) a);
  RakeBounds other = bounds_of (user_data, *(const guint *) b);
  double difference = (other.max_y_mm - other.min_y_mm) - (one.max_y_mm - one.min_y_mm);

  if (fabs (difference) > 1)
    return difference > 0 ? 1 : -1;
  return *(const guint *) a < *(const guint *) b ? -1 : 1;
}

static void
draw_piece (RakeFlow *flow, double width, double height, gpointer user_data)
{
  RakeReport *report = user_data;
  guint n = rake_job_get_n_faces (report->job);
  g_autofree double *x = g_new0 (double, n + 1), *y = g_new0 (double, n + 1);
  g_autofree guint *order = g_new0 (guint, n + 1);
  Shelf shelf = { width, height, 1, x, y, order, n };

  for (guint i = 0; i < n; i++)
    order[i] = i;
  g_qsort_with_data (order, (int) n, sizeof *order, compare_heights, report);
  choose_scale (report, &shelf);
  for (guint i = 0; i < n; i++)
    draw_piece_face (report, &shelf, i);
}

/* --- words ----------------------------------------------------------------------------------- */

/* Every name that stands in the logbook, in order of appearing. */
static char *
list_people (const RakeReport *report)
{
  g_autoptr (GHashTable) met = g_hash_table_new (g_str_hash, g_str_equal);
  GString *line = g_string_new (NULL);

  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      char *who = rake_job_get_entry (report->job, i)->who;

      if (who != NULL && *who != '\0' && g_hash_table_add (met, who))
        rake_print_add (line, who);
    }
  return g_string_free (line, FALSE);
}

static char *
describe_time (const RakeReport *report)
{
  guint n = rake_job_get_n_entries (report->job);
  const RakeEntry *first, *last;
  g_autofree char *begin = NULL, *end = NULL;

  if (n == 0)
    return NULL;
  first = rake_job_get_entry (report->job, 0);
  last = rake_job_get_entry (report->job, n - 1);
  begin = rake_print_day (first->happened_ms, first->utc_offset_minutes);
  end = rake_print_day (last->happened_ms, last->utc_offset_minutes);
  if (g_str_equal (begin, end))
    return g_steal_pointer (&begin);
  /* Translators: two days. */
  return g_strdup_printf (_ ("%s to %s"), begin, end);
}

static char *
describe_client (const RakeReport *report)
{
  g_autoptr (GString) line = g_string_new (report->options->client_name);
  const char *contact = report->options->client_contact;

  if (contact != NULL && *contact != '\0')
    g_string_append_printf (line, "%s%s", line->len > 0 ? "\n" : "", contact);
  return g_string_free (g_steal_pointer (&line), FALSE);
}

static void
print_facts (RakeReport *report)
{
  const RakeJobFacts *facts = rake_job_find_facts (report->job);
  g_autoptr (RakeGrid) grid = rake_report_new_facts ();

  if (facts != NULL)
    {
      rake_report_add_fact (grid, _ ("Shop"), g_strdup (facts->shop));
      rake_report_add_fact (grid, _ ("For"), describe_client (report));
      if (facts->finish != RAKE_FINISH_UNSAID)
        rake_report_add_fact (grid, _ ("Finish"),
                              g_strdup (_ (rake_finish_get_label (facts->finish))));
      rake_report_add_fact (grid, _ ("Sheen"), g_strdup (rake_print_sheen (facts->sheen)));
    }
  rake_report_add_fact (grid, _ ("Worked by"), list_people (report));
  rake_report_add_fact (grid, _ ("Logbook"), describe_time (report));
  rake_report_add_fact (
      grid, _ ("As of"),
      rake_print_time (report->options->now_ms, report->options->utc_offset_minutes));
  rake_report_add_fact (grid, _ ("Edition"),
                        g_strdup (rake_report_is_for_shop (report)
                                      ? _ ("The shop’s, with notes and costs")
                                      : _ ("The client’s")));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static void
draw_contents_line (RakeReport *report, const RakeFlowHeading *heading, guint number, double x,
                    double y, double width)
{
  RakeFlow *flow = &report->flow;
  g_autofree char *text = g_strdup_printf ("%u  %s", number, heading->text);
  g_autofree char *page = g_strdup_printf ("%u", heading->page);
  g_autofree char *link = g_strdup_printf ("dest='%s'", heading->name);
  g_autoptr (PangoLayout) left = rake_flow_lay (flow, RAKE_TYPE_SMALL, text, width - 24);
  g_autoptr (PangoLayout) right = rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, page, -1);

  pango_layout_set_ellipsize (left, PANGO_ELLIPSIZE_END);
  rake_flow_tag (flow, "TOCI");
  if (flow->is_pdf)
    cairo_tag_begin (flow->cr, CAIRO_TAG_LINK, link);
  rake_flow_draw_lines (flow, left, RAKE_TYPE_SMALL, 0, 1, x, y, width, RAKE_ALIGN_LEFT);
  rake_flow_draw_lines (flow, right, RAKE_TYPE_SMALL_SOFT, 0, 1, x, y, width, RAKE_ALIGN_RIGHT);
  rake_flow_end_tag (flow, CAIRO_TAG_LINK);
  rake_flow_end_tag (flow, "TOCI");
}

/* What is inside, in the right half beside the facts. */
static void
draw_contents (RakeReport *report, double x, double y, double width)
{
  RakeFlow *flow = &report->flow;
  double leading = rake_type_get_leading (RAKE_TYPE_SMALL) + CONTENTS_GAP_PT;
  guint number = 0, n_lines = 0;

  if (!flow->is_drawn)
    return;
  for (guint i = 0; i < flow->headings->len; i++)
    n_lines += ((const RakeFlowHeading *) flow->headings->pdata[i])->level == 1 ? 1 : 0;
  leading = MIN (leading, (flow->bottom - y) / MAX (n_lines, 1));
  rake_flow_tag (flow, "TOC");
  for (guint i = 0; i < flow->headings->len; i++)
    {
      const RakeFlowHeading *heading = flow->headings->pdata[i];

      if (heading->level != 1)
        continue;
      draw_contents_line (report, heading, ++number, x, y, width);
      y += leading;
    }
  rake_flow_end_tag (flow, "TOC");
}

static void
print_line (RakeFlow *flow, RakeType type, const char *tag, const char *text)
{
  g_autoptr (PangoLayout) layout = rake_flow_lay (flow, type, text, flow->width);
  guint n = MIN (rake_flow_count_lines (layout), 3);

  if (text == NULL || *text == '\0')
    return;
  rake_flow_tag (flow, tag);
  rake_flow_draw_lines (flow, layout, type, 0, n, flow->left, flow->y, flow->width,
                        RAKE_ALIGN_LEFT);
  rake_flow_end_tag (flow, tag);
  flow->y += n * rake_type_get_leading (type);
}

void
rake_report_print_cover (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const RakeJobFacts *facts = rake_job_find_facts (report->job);
  double half = (flow->width - 30) / 2, full = flow->width, facts_top = flow->bottom - FACTS_PT;

  rake_flow_rule (flow, flow->left, flow->y - 6, flow->width, 0.5);
  print_line (flow, RAKE_TYPE_SMALL, "P", _ ("Finish record"));
  flow->y += 34;
  print_line (flow, RAKE_TYPE_TITLE, "H1", facts != NULL ? facts->name : _ ("Job"));
  flow->y += 2;
  print_line (flow, RAKE_TYPE_LEAD, "P", facts != NULL ? facts->piece : NULL);

  flow->y = MAX (flow->y + 14, PICTURE_TOP_PT);
  rake_flow_figure (flow, facts_top - flow->y - 30, draw_piece, report,
                    _ ("The faces of the piece as they are now, at one scale"), NULL);
  flow->y = facts_top;
  rake_flow_rule (flow, flow->left + half + 30, facts_top, half, 0.5);
  draw_contents (report, flow->left + half + 30, facts_top + 4, half);
  flow->width = half;
  print_facts (report);
  flow->width = full;
  rake_flow_break_page (flow);
}
