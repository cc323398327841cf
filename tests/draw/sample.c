/* sample.c - see sample.h. */
#include "sample.h"

#include <math.h>

static RakeStage *
add_stage (Sample *sample, RakeAction action, const char *grade)
{
  RakeStage *stage = g_new0 (RakeStage, 1);

  stage->id = rake_id_new (1000 + sample->stages->len);
  stage->action = action;
  stage->grade = grade;
  stage->position = sample->stages->len;
  g_ptr_array_add (sample->stages, stage);
  return stage;
}

static void
free_mark (gpointer data)
{
  RakeMark *mark = data;

  rake_shape_unref ((RakeShape *) mark->shape);
  g_free (mark);
}

static void
free_zone (gpointer data)
{
  RakeZone *zone = data;

  rake_shape_unref ((RakeShape *) zone->shape);
  g_ptr_array_unref (zone->history);
  g_ptr_array_unref (zone->marks);
  g_free ((char *) zone->name);
  g_free (zone);
}

static Sample *
new_sample (const char *name, RakeShape *outline)
{
  Sample *sample = g_new0 (Sample, 1);

  g_assert (outline != NULL);
  sample->face = g_new0 (RakeFace, 1);
  sample->face->id = rake_id_new_for_name (RAKE_ID_NIL, name);
  sample->face->name = name;
  sample->face->outline = outline;
  sample->face->zones = g_ptr_array_new_with_free_func (free_zone);
  sample->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  sample->stages = g_ptr_array_new_with_free_func (g_free);
  sample->face->stages = sample->stages;
  add_stage (sample, RAKE_ACTION_LEVEL, "P800");
  add_stage (sample, RAKE_ACTION_REFINE, "P1200");
  add_stage (sample, RAKE_ACTION_BUFF, "fine");
  return sample;
}

void
sample_free (Sample *sample)
{
  if (sample == NULL)
    return;
  for (guint i = 0; i < sample->face->zones->len; i++)
    g_free (sample->judgements[i]);
  g_free (sample->judgements);
  g_ptr_array_unref (sample->face->zones);
  rake_shape_unref ((RakeShape *) sample->face->outline);
  g_ptr_array_unref (sample->entries);
  g_ptr_array_unref (sample->stages);
  g_free (sample->face);
  g_free (sample);
}

static RakeZone *
add_zone (Sample *sample, const char *name, RakeShape *shape)
{
  RakeZone *zone = g_new0 (RakeZone, 1);

  zone->id = rake_id_new_for_name (sample->face->id, name);
  zone->face = sample->face;
  zone->name = g_strdup (name);
  zone->shape = shape;
  zone->stage = sample->stages->pdata[0];
  zone->history = g_ptr_array_new ();
  zone->marks = g_ptr_array_new_with_free_func (free_mark);
  g_ptr_array_add (sample->face->zones, zone);
  sample->judgements = g_renew (RakeJudgement *, sample->judgements, sample->face->zones->len);
  sample->judgements[sample->face->zones->len - 1] = g_new0 (RakeJudgement, 1);
  return zone;
}

static RakeJudgement *
judgement_of (Sample *sample, const RakeZone *zone)
{
  guint index;

  g_assert (g_ptr_array_find (sample->face->zones, zone, &index));
  return sample->judgements[index];
}

static void
know (RakeJudgement *judgement, RakeFact fact, double value)
{
  judgement->facts.knowledge[fact] = RAKE_KNOWN;
  judgement->facts.value[fact] = value;
}

/* What was said of the zone: a verdict and a share of low spots; below 0: nobody looked. */
static RakeJudgement *
judge (Sample *sample, RakeZone *zone, RakeVerdict verdict, double low_spot_fraction)
{
  RakeJudgement *judgement = judgement_of (sample, zone);

  judgement->verdict = verdict;
  judgement->stage = zone->stage;
  know (judgement, RAKE_FACT_LOOKED_SINCE_PASS, low_spot_fraction >= 0);
  know (judgement, RAKE_FACT_SAID_SINCE_PASS, low_spot_fraction >= 0);
  if (low_spot_fraction >= 0)
    know (judgement, RAKE_FACT_LOW_SPOT_FRACTION, low_spot_fraction);
  return judgement;
}

static RakeEntry *
add_entry (Sample *sample, RakeZone *zone, RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);

  /* A fixed id: pictures are seeded by it. */
  entry->id = rake_id_new_for_name (zone->id, (char[]){ (char) ('a' + zone->history->len % 26),
                                                        (char) ('a' + zone->marks->len % 26), 0 });
  g_ptr_array_add (sample->entries, entry);
  g_ptr_array_add (zone->history, entry);
  return entry;
}

static RakeMark *
add_mark (Sample *sample, RakeZone *zone, RakeMarkKind kind, RakeShape *shape)
{
  RakeMark *mark = g_new0 (RakeMark, 1);

  g_assert (shape != NULL);
  mark->last_seen = add_entry (sample, zone, RAKE_ENTRY_LOOK);
  mark->entry = add_entry (sample, zone, RAKE_ENTRY_MARK);
  mark->kind = kind;
  mark->shape = shape;
  mark->stage = zone->stage;
  g_ptr_array_add (zone->marks, mark);
  return mark;
}

/* --- shapes --------------------------------------------------------------------------------- */

static RakeShape *
rectangle (double x0, double y0, double x1, double y1)
{
  double points_mm[] = { x0, y0, x1, y0, x1, y1, x0, y1 };

  return rake_shape_new_area (points_mm, 4, NULL);
}

static RakeShape *
patch (double x, double y, double radius_x, double radius_y, double turn)
{
  double points_mm[2 * 20];

  for (guint i = 0; i < 20; i++)
    {
      double angle = 2 * G_PI * i / 20;
      double swell = 1 + 0.16 * sin (2 * angle + turn) + 0.11 * sin (3 * angle + 2 * turn);
      points_mm[2 * i] = x + radius_x * swell * cos (angle);
      points_mm[2 * i + 1] = y + radius_y * swell * sin (angle);
    }
  return rake_shape_new_area (points_mm, 20, NULL);
}

static RakeShape *
line (double x0, double y0, double x1, double y1, double sway)
{
  double points_mm[2 * 13];

  for (guint i = 0; i <= 12; i++)
    {
      points_mm[2 * i] = x0 + (x1 - x0) * i / 12;
      points_mm[2 * i + 1] = y0 + (y1 - y0) * i / 12 + sway * sin (i * 0.6);
    }
  return rake_shape_new_line (points_mm, 13, NULL);
}

static RakeShape *
new_pear (double width_mm, double height_mm, double hole_mm)
{
  double outside[2 * 120], hole[2 * 48];
  const double *rings[2] = { outside, hole };
  guint n_points[2] = { 120, 48 };

  for (guint i = 0; i < 120; i++)
    {
      double angle = 2 * G_PI * i / 120, up = cos (angle);
      double pinch = 1 - 0.36 * MAX (up, 0) * MAX (up, 0) - 0.12 * MAX (up, 0);
      outside[2 * i] = width_mm / 2 * (1 + sin (angle) * pinch);
      outside[2 * i + 1] = height_mm * (0.60 - (up > 0 ? 0.60 : 0.40) * up);
    }
  for (guint i = 0; i < 48; i++)
    {
      hole[2 * i] = width_mm / 2 + hole_mm / 2 * cos (2 * G_PI * i / 48);
      hole[2 * i + 1] = 0.39 * height_mm + hole_mm * 0.39 * sin (2 * G_PI * i / 48);
    }
  return rake_shape_new_area_with_holes (rings, n_points, 2, NULL);
}

static RakeShape *
cut (const RakeShape *outline, double x0, double y0, double x1, double y1)
{
  g_autoptr (RakeShape) box = rectangle (x0, y0, x1, y1);

  return rake_shape_intersection (outline, box, NULL);
}

/* --- samples -------------------------------------------------------------------------------- */

Sample *
sample_new_mandola (void)
{
  Sample *sample = new_sample ("Front", new_pear (300, 350, 66));
  const RakeShape *outline = sample->face->outline;
  RakeZone *upper_bass = add_zone (sample, "Upper bass", cut (outline, 0, 0, 150, 140));
  RakeZone *upper_treble = add_zone (sample, "Upper treble", cut (outline, 150, 0, 300, 140));
  RakeZone *waist_bass = add_zone (sample, "Waist bass", cut (outline, 0, 140, 150, 225));
  RakeZone *waist_treble = add_zone (sample, "Waist treble", cut (outline, 150, 140, 300, 225));
  RakeZone *lower_bass = add_zone (sample, "Lower bass", cut (outline, 0, 225, 150, 350));
  RakeZone *lower_treble = add_zone (sample, "Lower treble", cut (outline, 150, 225, 300, 350));
  RakeMark *mark;

  judge (sample, upper_bass, RAKE_VERDICT_READY, 0);
  mark = add_mark (sample, upper_bass, RAKE_MARK_SAND_THROUGH, patch (118, 70, 7, 5, 1));
  mark->closed_by = mark->entry;
  mark->was_repaired = TRUE;
  judge (sample, upper_treble, RAKE_VERDICT_SAND_AGAIN, 0.14);
  judge (sample, waist_bass, RAKE_VERDICT_READY, 0)->is_accepted = TRUE;
  mark = add_mark (sample, waist_bass, RAKE_MARK_LOW_SPOT, patch (40, 200, 6, 4, 3));
  waist_bass->stage = sample->stages->pdata[1];
  judge (sample, waist_treble, RAKE_VERDICT_LOOK_AGAIN, -1);
  add_mark (sample, waist_treble, RAKE_MARK_SCRATCH, line (205, 205, 262, 180, 0));
  add_entry (sample, waist_treble, RAKE_ENTRY_PASS);
  judge (sample, lower_bass, RAKE_VERDICT_SAND_AGAIN, 0.05);
  add_mark (sample, lower_bass, RAKE_MARK_SCRATCH, line (16, 246, 58, 310, 0));
  add_mark (sample, lower_bass, RAKE_MARK_LOW_SPOT, patch (86, 318, 9, 6.5, 0.4));
  add_mark (sample, lower_bass, RAKE_MARK_LOW_SPOT, patch (121, 328, 6, 4.5, 2));
  add_mark (sample, lower_bass, RAKE_MARK_LOW_SPOT, patch (38, 240, 4.5, 3.5, 4));
  judge (sample, lower_treble, RAKE_VERDICT_REPAIR, 0);
  add_mark (sample, lower_treble, RAKE_MARK_WITNESS_LINE, line (168, 290, 232, 284, 3));
  add_mark (sample, lower_treble, RAKE_MARK_BURN, patch (243, 312, 11, 10, 2));
  return sample;
}

Sample *
sample_new_board (double width_mm, double height_mm, guint n_columns, guint n_rows, guint seed)
{
  Sample *sample = new_sample ("Board", rectangle (0, 0, width_mm, height_mm));
  GRand *random = g_rand_new_with_seed (seed);
  double w = width_mm / n_columns, h = height_mm / n_rows;

  for (guint i = 0; i < n_columns * n_rows; i++)
    {
      double x = i % n_columns * w, y = i / n_columns * h;
      g_autofree char *name = g_strdup_printf ("Zone %u", i + 1);
      RakeZone *zone = add_zone (sample, name, rectangle (x, y, x + w, y + h));
      RakeVerdict verdict = (RakeVerdict) g_rand_int_range (random, 0, RAKE_N_VERDICTS);
      double share = g_rand_double_range (random, -0.2, 0.3);
      RakeJudgement *judgement = judge (sample, zone, verdict, share < -0.1 ? -1 : MAX (share, 0));
      if (share > 0.25)
        know (judgement, RAKE_FACT_SCRATCHES, 1);
      if (g_rand_int_range (random, 0, 4) == 0)
        add_mark (sample, zone, (RakeMarkKind) g_rand_int_range (random, 1, RAKE_N_MARKS),
                  patch (x + w * 0.4, y + h * 0.4, w * 0.12, h * 0.1, i));
    }
  g_rand_free (random);
  return sample;
}

Sample *
sample_new_buffed (void)
{
  Sample *sample = new_sample ("Lid", rectangle (0, 0, 280, 210));
  RakeZone *gloss = add_zone (sample, "Left", rectangle (0, 0, 140, 210));
  RakeZone *satin = add_zone (sample, "Right", rectangle (140, 0, 280, 210));

  gloss->stage = satin->stage = sample->stages->pdata[2];
  judge (sample, gloss, RAKE_VERDICT_WAIT, 0);
  add_mark (sample, gloss, RAKE_MARK_SWIRL, patch (60, 60, 26, 20, 1));
  add_mark (sample, gloss, RAKE_MARK_DULL_SPOT, patch (80, 170, 18, 12, 3));
  know (judge (sample, satin, RAKE_VERDICT_STOP, 0), RAKE_FACT_IS_SATIN, 1);
  return sample;
}

Sample *
sample_new_said (void)
{
  static const struct
  {
    const char *name;
    RakeFact fact;
    double value;
  } said[] = {
    { "A scratch", RAKE_FACT_SCRATCHES, 1 },
    { "A witness line", RAKE_FACT_WITNESS_LINES, 1 },
    { "A burn", RAKE_FACT_BURNS, 1 },
    { "A sand-through", RAKE_FACT_SAND_THROUGHS, 1 },
    { "Half of it glossy", RAKE_FACT_LOW_SPOT_FRACTION, 0.5 },
    { "All of it glossy", RAKE_FACT_LOW_SPOT_FRACTION, 1 },
  };
  Sample *sample = new_sample ("Said", rectangle (0, 0, 360, 200));

  for (guint i = 0; i < G_N_ELEMENTS (said); i++)
    {
      double x = i % 3 * 120.0, y = i / 3 % 2 * 100.0;
      RakeZone *zone = add_zone (sample, said[i].name, rectangle (x, y, x + 120, y + 100));
      know (judge (sample, zone, RAKE_VERDICT_SAND_AGAIN, 0), said[i].fact, said[i].value);
    }
  return sample;
}

Sample *
sample_new_catalogue (void)
{
  const double w = 34, h = 30;
  Sample *sample = new_sample ("Catalogue", rectangle (0, 0, w * (RAKE_N_MARKS - 1), 4 * h));

  for (guint row = 0; row < 4; row++)
    for (RakeMarkKind kind = RAKE_MARK_LOW_SPOT; kind < RAKE_N_MARKS; kind++)
      {
        double x = (kind - 1) * w, y = row * h;
        g_autofree char *name = g_strdup_printf ("%u.%u", row, (guint) kind);
        RakeZone *zone = add_zone (sample, name, rectangle (x, y, x + w, y + h));
        RakeMark *mark;
        judge (sample, zone, RAKE_VERDICT_READY, 0);
        if (kind == RAKE_MARK_SCRATCH || kind == RAKE_MARK_WITNESS_LINE)
          mark = add_mark (sample, zone, kind, line (x + 6, y + 8, x + w - 6, y + h - 8, 1));
        else if (kind == RAKE_MARK_NIB || kind == RAKE_MARK_CRATER || kind == RAKE_MARK_PINHOLE)
          mark = add_mark (sample, zone, kind, patch (x + w / 2, y + h / 2, 2.2, 2.2, kind));
        else
          mark = add_mark (sample, zone, kind, patch (x + w / 2, y + h / 2, 10, 7, kind));
        if (row == 1)
          {
            zone->stage = sample->stages->pdata[1];
            add_entry (sample, zone, RAKE_ENTRY_BEGIN_STAGE);
          }
        if (row == 2)
          add_entry (sample, zone, RAKE_ENTRY_PASS);
        if (row == 3)
          {
            mark->closed_by = mark->entry;
            mark->was_repaired = TRUE;
          }
      }
  return sample;
}

RakeMapView
sample_view (RakeTheme theme, double width_px, double height_px, double lamp_deg)
{
  return (RakeMapView){ .theme = theme,
                        .width_px = width_px,
                        .height_px = height_px,
                        .px_per_mm = 1,
                        .lamp_deg = lamp_deg,
                        .text_px = 13 };
}
