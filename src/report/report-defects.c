/* report-defects.c - faults kept for the record: where each is, how it came, what became of it. */
#include "report-private.h"

#include <rakelight/photo.h>
#include <rakelight/record.h>

#include <math.h>
#include <string.h>

#define MAP_SHARE 0.44 /* of the width; the facts stand beside it */
#define MAP_MOST_PT 150.0
#define MAP_LEAST_PT 60.0
#define MAP_RIM_PT 12.0
#define BETWEEN_PT 18.0
#define RING_PT 8.0
#define TICK_PT 5.0
#define FACT_PT 21.0 /* that a row of the facts takes, some of them two lines */

/* --- the place --------------------------------------------------------------------------------- */

/* A ring around the place with four ticks outwards: it is found however small the mark is. */
static void
draw_ring (RakeFlow *flow, const RakeMapView *view, const RakeDefect *defect)
{
  double x, y;

  rake_map_view_to_px (view, defect->x_mm, defect->y_mm, &x, &y);
  rake_flow_set_ink (flow, RAKE_TYPE_BODY);
  cairo_set_line_width (flow->cr, 1.2);
  cairo_new_path (flow->cr);
  cairo_arc (flow->cr, x, y, RING_PT, 0, 2 * G_PI);
  for (int i = 0; i < 4; i++)
    {
      double out_x = cos (i * G_PI / 2), out_y = sin (i * G_PI / 2);

      cairo_move_to (flow->cr, x + out_x * RING_PT, y + out_y * RING_PT);
      cairo_rel_line_to (flow->cr, out_x * TICK_PT, out_y * TICK_PT);
    }
  cairo_stroke (flow->cr);
}

static void
draw_place (RakeFlow *flow, double width, double height, gpointer user_data)
{
  const RakeDefect *defect = user_data;
  RakeMapView view = { .theme = RAKE_THEME_PAPER,
                       .width_px = width,
                       .height_px = height,
                       .lamp_deg = NAN,
                       .is_paper = TRUE };

  rake_map_view_fit (&view, defect->face, MAP_RIM_PT);
  rake_map_draw_seams (flow->cr, &view, defect->face);
  if (defect->mark != NULL)
    rake_map_draw_mark_preview (flow->cr, &view, defect->mark->kind, defect->mark->shape);
  if (isfinite (defect->x_mm))
    draw_ring (flow, &view, defect);
  else if (defect->zone != NULL)
    rake_map_draw_zone_edge (flow->cr, &view, defect->zone, RAKE_ZONE_SELECTED);
}

static double
choose_map_height (const RakeFace *face, double width)
{
  RakeBounds box = rake_shape_get_bounds (face->outline);
  double shape = (box.max_y_mm - box.min_y_mm) / MAX (box.max_x_mm - box.min_x_mm, 1e-3);

  return CLAMP ((width - 2 * MAP_RIM_PT) * shape + 2 * MAP_RIM_PT, MAP_LEAST_PT, MAP_MOST_PT);
}

static char *
describe_place (const RakeDefect *defect)
{
  g_autoptr (GString) line = g_string_new (NULL);
  g_autofree char *place = NULL, *edge = NULL, *from_edge = NULL;

  if (defect->zone != NULL)
    g_string_append (line, defect->zone->name);
  if (defect->mark != NULL && defect->face != NULL)
    {
      place = rake_print_place (defect->mark->shape, defect->face->outline);
      rake_print_add (line, place);
    }
  if (isfinite (defect->from_edge_mm))
    {
      edge = rake_print_length (defect->from_edge_mm, 0);
      /* Translators: a length. */
      from_edge = g_strdup_printf (_ ("%s from the nearest edge"), edge);
      rake_print_add (line, from_edge);
    }
  return g_string_free (g_steal_pointer (&line), FALSE);
}

/* --- the facts --------------------------------------------------------------------------------- */

static char *
describe_finding (const RakeDefect *defect)
{
  g_autoptr (GString) line = g_string_new (NULL);
  g_autofree char *day = rake_print_day (defect->found_ms, defect->entry->utc_offset_minutes);
  g_autofree char *stage = defect->stage != NULL ? rake_print_stage (defect->stage) : NULL;
  g_autofree char *deg = NULL, *lamp = NULL;

  rake_print_add (line, day);
  rake_print_add (line, stage);
  if (isfinite (defect->lamp_deg))
    {
      deg = rake_print_direction (defect->lamp_deg);
      lamp = g_strdup_printf (_ ("lamp at %s"), deg);
      rake_print_add (line, lamp);
    }
  return g_string_free (g_steal_pointer (&line), FALSE);
}

static char *
describe_pass (const RakeReport *report, const RakeDefect *defect)
{
  g_autofree char *time = NULL, *stage = NULL;

  if (defect->pass == NULL)
    return NULL;
  time = rake_print_time (defect->pass->happened_ms, defect->pass->utc_offset_minutes);
  stage = rake_report_name_stage (report, defect->pass->pass.stage);
  /* Translators: a stage and a time: "Level P800, 2026-03-01 14:20". */
  return g_strdup_printf (C_ ("pass", "%s, %s"), stage, time);
}

static char *
describe_repairs (const RakeDefect *defect)
{
  g_autoptr (GPtrArray) repairs = rake_defect_list_repairs (defect);
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < repairs->len; i++)
    {
      const RakeEntry *entry = repairs->pdata[i];
      g_autofree char *day = rake_print_day (entry->happened_ms, entry->utc_offset_minutes);

      g_string_append_printf (text, "%s%s: %s", i > 0 ? "\n" : "", day,
                              rake_print_repair (entry->repair.method));
      if (entry->repair.outcome != NULL)
        g_string_append_printf (text, ". %s", entry->repair.outcome);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static RakeGrid *
new_facts (const RakeReport *report, const RakeDefect *defect)
{
  const RakeDefectBody *told = &defect->told->defect;
  RakeGrid *grid = rake_report_new_facts ();

  rake_report_add_fact (grid, _ ("Now"), g_strdup (_ (rake_standing_get_label (told->standing))));
  rake_report_add_fact (grid, _ ("Where"), describe_place (defect));
  rake_report_add_fact (grid, _ ("Size"),
                        defect->mark != NULL ? rake_print_size (defect->mark->shape) : NULL);
  rake_report_add_fact (grid, _ ("Found"), describe_finding (defect));
  rake_report_add_fact (grid, _ ("After the pass"), describe_pass (report, defect));
  rake_report_add_fact (grid, _ ("How bad"), g_strdup (told->severity));
  rake_report_add_fact (grid, _ ("Cause, as far as known"), g_strdup (told->cause));
  rake_report_add_fact (grid, _ ("What was done"), g_strdup (told->action));
  rake_report_add_fact (grid, _ ("Repairs"), describe_repairs (defect));
  rake_report_add_fact (grid, _ ("Outcome"), g_strdup (told->outcome));
  if (rake_report_is_for_shop (report))
    {
      rake_report_add_fact (grid, _ ("Cost"), rake_print_cost (told->cost, told->currency));
      if (told->is_for_client == RAKE_ANSWER_NO)
        rake_report_add_fact (grid, _ ("Client’s edition"), g_strdup (_ ("left out of it")));
    }
  return grid;
}

/* What both take, about: the heading over them wants it too. */
static double
get_room (const RakeDefect *defect, const RakeGrid *facts, double map_width)
{
  double beside = rake_grid_get_n_rows (facts) * FACT_PT;

  return defect->face != NULL ? MAX (choose_map_height (defect->face, map_width) + 14, beside)
                              : beside;
}

/* The place on the left, the facts beside it. Where these go over the page, what follows comes after
 * them. */
static void
print_place_and_facts (RakeReport *report, const RakeDefect *defect, const RakeGrid *facts)
{
  RakeFlow *flow = &report->flow;
  g_autofree char *alternative = describe_place (defect);
  double full = flow->width, left = flow->left, map_width = full * MAP_SHARE, height, top, end;
  guint page;

  if (defect->face == NULL)
    {
      rake_flow_grid (flow, facts, RAKE_TYPE_SMALL);
      return;
    }
  height = choose_map_height (defect->face, map_width);
  rake_flow_need (flow, get_room (defect, facts, map_width));
  top = flow->y;
  page = flow->page;
  flow->width = map_width;
  rake_flow_figure (flow, height, draw_place, (gpointer) defect, alternative, NULL);
  end = flow->y;
  flow->y = top;
  flow->left = left + map_width + BETWEEN_PT;
  flow->width = full - map_width - BETWEEN_PT;
  rake_flow_grid (flow, facts, RAKE_TYPE_SMALL);
  flow->left = left;
  flow->width = full;
  if (flow->page == page)
    flow->y = MAX (flow->y, end);
}

/* --- the story --------------------------------------------------------------------------------- */

static gboolean
is_told_of (const RakeDefect *defect, const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_DEFECT && (rake_id_equal (entry->id, defect->id) ||
                                              rake_id_equal (entry->defect.defect, defect->id));
}

/* What people write is a sentence with its stop or without. */
static void
add_sentence (GString *text, const char *sentence)
{
  if (sentence == NULL || *sentence == '\0')
    return;
  if (text->len > 0 && strchr (".!?", text->str[text->len - 1]) == NULL)
    g_string_append_c (text, '.');
  g_string_append_printf (text, " %s", sentence);
}

static char *
describe_telling (const RakeReport *report, const RakeDefectBody *told)
{
  g_autoptr (GString) text = g_string_new (_ (rake_standing_get_label (told->standing)));
  const char *const parts[] = { told->what, told->severity, told->cause, told->action,
                                told->outcome };
  g_autofree char *cost = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    add_sentence (text, parts[i]);
  if (rake_report_is_for_shop (report))
    cost = rake_print_cost (told->cost, told->currency);
  if (cost != NULL)
    g_string_append_printf (text, " (%s)", cost);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* How it was told before: what is struck out too. */
static void
print_story (RakeReport *report, const RakeDefect *defect)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("Told"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("How"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (!is_told_of (defect, entry))
        continue;
      rake_report_add_row (report, grid, entry);
      rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
      rake_grid_take (grid, describe_telling (report, &entry->defect));
      rake_grid_add (grid, entry->who);
    }
  if (rake_grid_get_n_rows (grid) > 1)
    rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static void
print_photos (RakeReport *report, const RakeDefect *defect)
{
  g_autoptr (GPtrArray) photos = NULL;
  g_autoptr (GArray) indexes = g_array_new (FALSE, FALSE, sizeof (guint));

  if (defect->mark == NULL)
    return;
  photos = rake_job_list_photos (report->job, defect->mark->entry->id);
  /* The one taken last comes first; a story begins at its beginning. */
  for (guint i = photos->len; i-- > 0;)
    {
      guint index = rake_report_find_photo (report, ((const RakePhoto *) photos->pdata[i])->id);

      if (index != G_MAXUINT)
        g_array_append_val (indexes, index);
    }
  rake_report_print_some_photos (report, indexes);
}

/* --- all of them ------------------------------------------------------------------------------- */

static void
print_defect (RakeReport *report, const RakeDefect *defect, guint number)
{
  g_autofree char *title = NULL;
  g_autoptr (RakeGrid) facts = new_facts (report, defect);

  /* Translators: a number, a fault, the face it is on. */
  title = defect->face != NULL
              ? g_strdup_printf (_ ("%u. %s, %s"), number, defect->what, defect->face->name)
              : g_strdup_printf ("%u. %s", number, defect->what);
  rake_flow_keep (&report->flow, get_room (defect, facts, report->flow.width * MAP_SHARE));
  rake_flow_heading (&report->flow, 2, title);
  print_place_and_facts (report, defect, facts);
  print_story (report, defect);
  print_photos (report, defect);
}

void
rake_report_print_defects (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  g_autoptr (GPtrArray) defects = rake_job_list_defects (report->job);
  guint number = 0;

  for (guint i = 0; i < defects->len && !flow->is_stopped; i++)
    {
      const RakeDefect *defect = defects->pdata[i];

      if (!rake_report_is_for_shop (report) && defect->told->defect.is_for_client == RAKE_ANSWER_NO)
        continue;
      if (number == 0)
        {
          rake_flow_keep (flow, 300);
          rake_flow_heading (flow, 1, _ ("Defects"));
          rake_flow_paragraph (flow, RAKE_TYPE_SOFT,
                               _ ("Faults that were kept for the record, from finding to outcome. "
                                  "Each telling stays; the last says how it stands."));
        }
      print_defect (report, defect, ++number);
    }
  if (number > 0)
    rake_flow_end_section (flow);
}
