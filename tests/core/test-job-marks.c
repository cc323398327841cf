/* test-job-marks.c - marks: their place after a cut, and what opens and closes them. */
#include "job-support.h"

static gboolean
is_open (const RakeMark *mark)
{
  assert_non_null (mark);
  return mark->closed_by == NULL;
}

static void
cut_left_at_100 (Bench *bench, RakeId *upper, RakeId *lower)
{
  RakeEntry *zones = new_zones (bench, RAKE_DIVISION_CUT);

  *upper = any_id ();
  *lower = any_id ();
  g_array_append_val (zones->zones.removed, bench->left);
  add_zone (zones, *upper, "Upper", random_rectangle (0, 0, 150, 100));
  add_zone (zones, *lower, "Lower", random_rectangle (0, 100, 150, 100));
  bench_write (bench, zones);
}

static RakeEntry *
new_join_of (const Bench *bench, RakeId upper, RakeId lower, RakeId *whole)
{
  RakeEntry *zones = new_zones (bench, RAKE_DIVISION_JOIN);

  *whole = any_id ();
  g_array_append_val (zones->zones.removed, upper);
  g_array_append_val (zones->zones.removed, lower);
  add_zone (zones, *whole, "Left again", random_rectangle (0, 0, 150, 200));
  return zones;
}

/* The cut runs along y = 100. */
static void
marks_follow_their_place (void **state)
{
  static const struct
  {
    const char *what;
    double line_mm[4]; /* a point when its ends are one; an area when the kind is a low spot */
    RakeMarkKind kind;
    gboolean in_upper, in_lower;
  } cases[] = {
    { "point above", { 75, 50, 75, 50 }, RAKE_MARK_NIB, TRUE, FALSE },
    { "point below", { 75, 150, 75, 150 }, RAKE_MARK_NIB, FALSE, TRUE },
    { "point 1 µm above", { 75, 99.999, 75, 99.999 }, RAKE_MARK_NIB, TRUE, FALSE },
    { "line across", { 75, 90, 80, 110 }, RAKE_MARK_SCRATCH, TRUE, TRUE },
    { "line that ends at the cut", { 75, 90, 75, 100 }, RAKE_MARK_SCRATCH, TRUE, FALSE },
    { "patch above", { 10, 10, 20, 20 }, RAKE_MARK_LOW_SPOT, TRUE, FALSE },
    { "patch across", { 10, 95, 20, 105 }, RAKE_MARK_LOW_SPOT, TRUE, TRUE },
    { "patch that touches the cut from below", { 10, 100, 20, 110 }, RAKE_MARK_LOW_SPOT, FALSE, TRUE },
    { "patch half out of the zone", { -10, 150, 10, 160 }, RAKE_MARK_LOW_SPOT, FALSE, TRUE },
    { "point off the face, nearer the lower part", { -5, 190, -5, 190 }, RAKE_MARK_NIB, FALSE, TRUE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      const double *line_mm = cases[i].line_mm;
      RakeShape *shape = cases[i].kind == RAKE_MARK_NIB ? point_at (line_mm[0], line_mm[1])
                         : cases[i].kind == RAKE_MARK_SCRATCH
                             ? line_from (line_mm[0], line_mm[1], line_mm[2], line_mm[3])
                             : random_rectangle (line_mm[0], line_mm[1], line_mm[2] - line_mm[0],
                                                 line_mm[3] - line_mm[1]);
      RakeId upper, lower, look = bench_write (bench, new_look (bench->left));
      RakeId mark = bench_write (bench, new_mark (look, cases[i].kind, shape));

      cut_left_at_100 (bench, &upper, &lower);
      if ((mark_in (bench, upper, mark) != NULL) != cases[i].in_upper ||
          (mark_in (bench, lower, mark) != NULL) != cases[i].in_lower)
        fail_msg ("%s is not where it belongs", cases[i].what);
      assert_null (mark_in (bench, bench->right, mark));
      assert_non_null (rake_job_find_mark (bench->bench->job, mark));
    }
}

static void
a_mark_on_the_very_cut_is_not_lost (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_NIB, point_at (75, 100)));
  RakeId line =
      bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, line_from (10, 100, 90, 100)));

  cut_left_at_100 (bench, &upper, &lower);
  assert_true ((mark_in (bench, upper, mark) != NULL) != (mark_in (bench, lower, mark) != NULL));
  assert_non_null (mark_in (bench, upper, line)); /* a length of it lies on the edge of each */
  assert_non_null (mark_in (bench, lower, line));
}

static void
a_mark_gone_in_one_part_is_open_in_the_other (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, whole, look = bench_write (bench, new_look (bench->left));
  RakeId mark =
      bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, line_from (75, 90, 75, 110)));

  cut_left_at_100 (bench, &upper, &lower);
  bench_write (bench, new_pass (bench->stages[0], upper));
  look = bench_write (bench, new_look (upper));
  bench_write (bench, new_revisit (look, mark, RAKE_OUTCOME_GONE));
  assert_false (is_open (mark_in (bench, upper, mark)));
  assert_true (is_open (mark_in (bench, lower, mark)));
  assert_true (rake_job_find_mark (bench->bench->job, mark) == mark_in (bench, lower, mark));

  bench_write (bench, new_join_of (bench, upper, lower, &whole));
  assert_true (is_open (mark_in (bench, whole, mark)));
  assert_int_equal (zone_of (bench, whole)->marks->len, 1);
  /* seen as one when both parts were: before the pass */
  assert_true (mark_in (bench, whole, mark)->last_seen !=
               rake_job_find_entry (bench->bench->job, look));
}

static void
a_joined_mark_is_where_it_was_seen_last (void **state)
{
  for (int seen_in_lower = 0; seen_in_lower <= 1; seen_in_lower++)
    {
      g_autoptr (Bench) bench = bench_new ();
      RakeId upper, lower, whole, look = bench_write (bench, new_look (bench->left));
      RakeId mark =
          bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, line_from (75, 90, 75, 110)));
      RakeEntry *revisit;

      cut_left_at_100 (bench, &upper, &lower);
      look = bench_write (bench, new_look (seen_in_lower ? lower : upper));
      revisit = new_revisit (look, mark, RAKE_OUTCOME_STILL_THERE);
      revisit->revisit.shape = line_from (75, 95, 75, 105);
      bench_write (bench, revisit);
      bench_write (bench, new_join_of (bench, upper, lower, &whole));
      assert_true (mark_in (bench, whole, mark)->shape == revisit->revisit.shape);
    }
}

static void
a_mark_is_found_where_it_is_now (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_NIB, point_at (75, 50)));

  cut_left_at_100 (bench, &upper, &lower);
  look = bench_write (bench, new_look (upper));
  bench_write (bench, new_revisit (look, mark, RAKE_OUTCOME_GONE));
  assert_true (rake_job_find_mark (bench->bench->job, mark) == mark_in (bench, upper, mark));
  assert_false (is_open (rake_job_find_mark (bench->bench->job, mark)));
}

/* --- good news and bad ------------------------------------------------------------------------------ */

static void
gone_counts_only_from_a_proper_look (void **state)
{
  static const struct
  {
    const char *what;
    RakeSurface surface;
    RakeWipe wiped_with;
    gboolean after_pass, is_closed;
  } cases[] = {
    { "dry and wiped", RAKE_SURFACE_DRY, RAKE_WIPE_DRY_CLOTH, TRUE, TRUE },
    { "wet", RAKE_SURFACE_WET, RAKE_WIPE_DRY_CLOTH, TRUE, FALSE },
    { "dusty", RAKE_SURFACE_DUSTY, RAKE_WIPE_DRY_CLOTH, TRUE, FALSE },
    { "not wiped", RAKE_SURFACE_DRY, RAKE_WIPE_NOTHING, TRUE, FALSE },
    { "wiping not said", RAKE_SURFACE_DRY, RAKE_WIPE_UNSAID, TRUE, FALSE },
    { "not wiped, before the first pass", RAKE_SURFACE_DRY, RAKE_WIPE_UNSAID, FALSE, TRUE },
    { "wet, before the first pass", RAKE_SURFACE_WET, RAKE_WIPE_UNSAID, FALSE, FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      RakeId look = bench_write (bench, new_look (bench->left));
      RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_RUN, point_at (10, 10)));
      RakeEntry *second = new_look (bench->left);

      if (cases[i].after_pass)
        bench_write (bench, new_pass (bench->stages[0], bench->left));
      second->look.surface = cases[i].surface;
      second->look.wiped_with = cases[i].wiped_with;
      look = bench_write (bench, second);
      bench_write (bench, new_revisit (look, mark, RAKE_OUTCOME_GONE));
      if (is_open (mark_in (bench, bench->left, mark)) == cases[i].is_closed)
        fail_msg ("%s: the mark is %s", cases[i].what, cases[i].is_closed ? "open" : "closed");
    }
}

static RakeEntry *
new_for_letter (const Bench *bench, char letter, RakeId zone, RakeId look, RakeId mark)
{
  RakeEntry *entry;

  switch (letter)
    {
    case 'p':
      return new_pass (bench->stages[0], zone);
    case 'r':
      return new_repair (zone, RAKE_REPAIR_FILL, RAKE_ID_NIL);
    case 'c':
      entry = rake_entry_new (RAKE_ENTRY_COAT);
      entry->coat.face = bench->face;
      return entry;
    case 'l':
      return new_look (zone);
    case 'n':
      entry = new_look (zone);
      entry->look.wiped_with = RAKE_WIPE_NOTHING;
      return entry;
    case 'G':
      return new_revisit (look, mark, RAKE_OUTCOME_GONE);
    default:
      fail_msg ("no such letter: %c", letter);
    }
  return NULL;
}

/* A mark; then p pass, r repair, c coat, l look, n look not wiped, k cut (and on with the part that has
 * the mark), j joined again, G gone in the last look. */
static void
a_look_is_proper_when_the_page_says (void **state)
{
  static const struct
  {
    const char *script;
    gboolean is_closed;
  } cases[] = {
    { "nG", TRUE },    { "plG", TRUE },   { "pnG", FALSE },  { "lpG", FALSE },  { "rlG", TRUE },
    { "lrG", FALSE },  { "prnG", FALSE }, { "lcG", FALSE },  { "clG", TRUE },   { "pcnG", TRUE },
    { "pcpnG", FALSE }, { "pknG", FALSE }, { "pklG", TRUE },  { "pkjnG", FALSE }, { "knG", TRUE },
    { "kjnG", TRUE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      RakeId zone = bench->left, upper = RAKE_ID_NIL, lower = RAKE_ID_NIL;
      RakeId look = bench_write (bench, new_look (zone));
      RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_RUN, point_at (10, 10)));

      for (const char *letter = cases[i].script; *letter != '\0'; letter++)
        if (*letter == 'k')
          {
            cut_left_at_100 (bench, &upper, &lower);
            zone = upper;
          }
        else if (*letter == 'j')
          bench_write (bench, new_join_of (bench, upper, lower, &zone));
        else
          {
            RakeId id = bench_write (bench, new_for_letter (bench, *letter, zone, look, mark));
            if (*letter == 'l' || *letter == 'n')
              look = id;
          }
      if (is_open (mark_in (bench, zone, mark)) == cases[i].is_closed)
        fail_msg ("\"%s\": the mark is %s", cases[i].script,
                  cases[i].is_closed ? "open" : "closed");
    }
}

static void
still_there_counts_from_any_look_and_reopens (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));
  RakeEntry *wet = new_look (bench->left), *revisit;
  const RakeMark *seen;

  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_SCRAPED, mark));
  assert_false (is_open (mark_in (bench, bench->left, mark)));
  wet->look.surface = RAKE_SURFACE_WET;
  look = bench_write (bench, wet);
  revisit = new_revisit (look, mark, RAKE_OUTCOME_STILL_THERE);
  revisit->revisit.shape = random_rectangle (8, 8, 4, 4);
  bench_write (bench, revisit);
  seen = mark_in (bench, bench->left, mark);
  assert_true (is_open (seen));
  assert_true (seen->was_repaired);
  assert_true (seen->last_seen == rake_job_find_entry (bench->bench->job, look));
  assert_int_equal (rake_shape_get_kind (seen->shape), RAKE_SHAPE_AREA);
}

static void
a_mark_is_revisited_in_its_own_zone (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));

  look = bench_write (bench, new_look (bench->right));
  bench_refuses (bench, new_revisit (look, mark, RAKE_OUTCOME_GONE), RAKE_JOB_ERROR_RULE);
}

static void
a_repair_closes_its_marks_in_every_zone_and_shows_for_ever (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, look = bench_write (bench, new_look (bench->left));
  RakeId across = bench_write (bench, new_mark (look, RAKE_MARK_BURN, line_from (75, 90, 75, 110)));
  RakeId other = bench_write (bench, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));
  RakeId repair;

  cut_left_at_100 (bench, &upper, &lower);
  repair = bench_write (bench, new_repair (upper, RAKE_REPAIR_DROP_FILL, across));
  assert_true (mark_in (bench, upper, across)->closed_by ==
               rake_job_find_entry (bench->bench->job, repair));
  assert_false (is_open (mark_in (bench, lower, across)));
  assert_true (mark_in (bench, upper, across)->was_repaired);
  assert_true (is_open (mark_in (bench, upper, other)));
}

/* --- low spots --------------------------------------------------------------------------------------- */

/* A low spot is marked in a first look; then the script; then is it still open?
 *   p0 p1   pass at the stage            l w   a look, dry and wiped, or wet
 *   u m s   in the last look: state uniform, another low spot, a nib
 *   S       in the last look: the mark is still there            c   a coat
 *   N       a look made before, but entered only now
 *   x X     a scratch is marked in the last look; it is still there
 *   k       the zone is cut, and on with the part that has the low spot */
static void
low_spots_are_superseded_as_the_page_says (void **state)
{
  static const struct
  {
    const char *script;
    gboolean is_open;
  } cases[] = {
    { "", TRUE },
    { "l u", TRUE },        /* no pass since */
    { "p0 l", TRUE },       /* the look said nothing */
    { "p0 l s", TRUE },     /* only another fault */
    { "p0 l u", FALSE },
    { "p0 l m", FALSE },
    { "p0 w u", TRUE },     /* not a proper look */
    { "l p0 u", TRUE },     /* said of a look from before the pass */
    { "p0 l S u", TRUE },   /* said to be there, then the rest */
    { "p0 l u S", TRUE },   /* and the other way round */
    { "l x p0 l", TRUE },
    { "l x p0 l X", FALSE }, /* the look told of the scratch, and of no low spot */
    { "l x p0 l X S", TRUE },
    { "p0 N u", TRUE },     /* it was before the pass */
    { "p1 l u", TRUE },     /* carried: of an earlier stage */
    { "p1 p1 l m", TRUE },
    { "p0 k l u", FALSE },  /* the part had the pass too */
    { "c p0 l u", TRUE },   /* from before a recoat: until a repair closes it */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_auto (GStrv) steps = g_strsplit (cases[i].script, " ", -1);
      RakeId zone = bench->left, lower, scratch = RAKE_ID_NIL,
             look = bench_write (bench, new_look (zone));
      RakeId mark =
          bench_write (bench, new_mark (look, RAKE_MARK_LOW_SPOT, random_rectangle (10, 10, 9, 9)));

      for (char **step = steps; *step != NULL; step++)
        {
          RakeEntry *entry = NULL;

          switch (**step)
            {
            case 'p':
              entry = new_pass (bench->stages[(*step)[1] - '0'], zone);
              break;
            case 'l':
            case 'w':
              entry = new_look (zone);
              if (**step == 'w')
                entry->look.surface = RAKE_SURFACE_WET;
              look = entry->id;
              break;
            case 'N':
              entry = new_look (zone);
              entry->happened_ms = bench->bench->now_ms - 10;
              look = entry->id;
              break;
            case 'x':
              entry = new_mark (look, RAKE_MARK_SCRATCH, line_from (40, 40, 60, 60));
              scratch = entry->id;
              break;
            case 'X':
              entry = new_revisit (look, scratch, RAKE_OUTCOME_STILL_THERE);
              break;
            case 'u':
              entry = new_state (look, RAKE_STATE_UNIFORM);
              break;
            case 'm':
              entry = new_mark (look, RAKE_MARK_LOW_SPOT, random_rectangle (30, 30, 5, 5));
              break;
            case 's':
              entry = new_mark (look, RAKE_MARK_NIB, point_at (30, 30));
              break;
            case 'S':
              entry = new_revisit (look, mark, RAKE_OUTCOME_STILL_THERE);
              break;
            case 'c':
              entry = rake_entry_new (RAKE_ENTRY_COAT);
              entry->coat.face = bench->face;
              break;
            case 'k':
              cut_left_at_100 (bench, &zone, &lower);
              continue;
            default:
              continue;
            }
          bench_write (bench, entry);
        }
      if (is_open (mark_in (bench, zone, mark)) != cases[i].is_open)
        fail_msg ("\"%s\": the low spot is %s", cases[i].script,
                  cases[i].is_open ? "closed" : "open");
    }
}

static void
other_marks_are_not_superseded (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, line_from (10, 10, 20, 20)));

  bench_write (bench, new_pass (bench->stages[0], bench->left));
  look = bench_write (bench, new_look (bench->left));
  bench_write (bench, new_state (look, RAKE_STATE_UNIFORM));
  assert_true (is_open (mark_in (bench, bench->left, mark)));
}

static void
a_mark_knows_the_stage_it_was_found_at (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look, mark;

  bench_write (bench, new_pass (bench->stages[1], bench->left));
  look = bench_write (bench, new_look (bench->left));
  mark = bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, line_from (10, 10, 20, 20)));
  bench_write (bench, new_pass (bench->stages[2], bench->left));
  assert_true (mark_in (bench, bench->left, mark)->stage ==
               rake_job_find_stage (bench->bench->job, bench->stages[1]));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (marks_follow_their_place),
    cmocka_unit_test (a_mark_on_the_very_cut_is_not_lost),
    cmocka_unit_test (a_mark_gone_in_one_part_is_open_in_the_other),
    cmocka_unit_test (gone_counts_only_from_a_proper_look),
    cmocka_unit_test (a_joined_mark_is_where_it_was_seen_last),
    cmocka_unit_test (a_mark_is_found_where_it_is_now),
    cmocka_unit_test (a_look_is_proper_when_the_page_says),
    cmocka_unit_test (still_there_counts_from_any_look_and_reopens),
    cmocka_unit_test (a_mark_is_revisited_in_its_own_zone),
    cmocka_unit_test (a_repair_closes_its_marks_in_every_zone_and_shows_for_ever),
    cmocka_unit_test (low_spots_are_superseded_as_the_page_says),
    cmocka_unit_test (other_marks_are_not_superseded),
    cmocka_unit_test (a_mark_knows_the_stage_it_was_found_at),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
