/* test-job.c - what the job takes, refuses and shows: faces, zones, stages. */
#include "job-support.h"

/* --- taking in --------------------------------------------------------------------------------------- */

static void
a_face_is_one_zone_of_its_name (void **state)
{
  Random random = random_new (1);
  g_autoptr (RandomBench) bench = random_bench_new (&random);
  g_autoptr (RakeEntry) face = rake_entry_new (RAKE_ENTRY_FACE);
  const RakeZone *zone;

  face->face.name = g_strdup ("Lid");
  face->face.outline = random_rectangle (0, 0, 30, 20);
  random_bench_write (bench, &face, 1);
  zone = rake_job_find_zone (bench->job, face->id);
  assert_string_equal (zone->name, "Lid");
  assert_true (zone->shape == face->face.outline);
  assert_true (zone->face == rake_job_find_face (bench->job, face->id));
  assert_null (zone->stage);
  assert_true (isnan (zone->reserve_um));
}

static RakeEntry *
with_unknown_ids (RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);
  RakeId id = any_id ();

  for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
    if (field->type == RAKE_FIELD_ID)
      *(RakeId *) (gpointer) ((guint8 *) &entry->job + field->offset) = id;
    else if (field->type == RAKE_FIELD_IDS)
      g_array_append_val (*(GArray **) (gpointer) ((guint8 *) &entry->job + field->offset), id);
  return entry;
}

static void
what_speaks_of_nothing_known_is_refused (void **state)
{
  static const RakeEntryKind kinds[] = {
    RAKE_ENTRY_ZONES, RAKE_ENTRY_ZONE_FACTS, RAKE_ENTRY_SCHEDULE, RAKE_ENTRY_BEGIN_STAGE,
    RAKE_ENTRY_COAT,  RAKE_ENTRY_PASS,       RAKE_ENTRY_LOOK,     RAKE_ENTRY_MARK,
    RAKE_ENTRY_REVISIT, RAKE_ENTRY_STATE,    RAKE_ENTRY_ACCEPTANCE, RAKE_ENTRY_NOTE,
    RAKE_ENTRY_STRIKE, RAKE_ENTRY_READING,   RAKE_ENTRY_WHEEL,    RAKE_ENTRY_REPAIR,
  };
  g_autoptr (Bench) bench = bench_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    bench_refuses (bench, with_unknown_ids (kinds[i]), RAKE_JOB_ERROR_REFERENCE);
}

static void
an_id_is_taken_once (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *note = new_note ("twice"), *zones = new_zones (bench, RAKE_DIVISION_CUT);
  const RakeEntry *known = rake_job_find_entry (bench->bench->job, bench->facts);
  g_autoptr (GError) error = NULL;

  assert_false (rake_job_apply (bench->bench->job, (RakeEntry *) known, &error));
  assert_true (g_error_matches (error, RAKE_JOB_ERROR, RAKE_JOB_ERROR_TWICE));
  bench_write (bench, note);
  g_array_append_val (zones->zones.removed, bench->left);
  add_zone (zones, bench->stages[0], "A", random_rectangle (0, 0, 150, 100));
  add_zone (zones, any_id (), "B", random_rectangle (0, 100, 150, 100));
  bench_refuses (bench, zones, RAKE_JOB_ERROR_TWICE);
}

static void
zones_that_do_not_add_up_are_refused (void **state)
{
  /* Left is 150 × 200 = 30 000 mm²; the edges of all three together are 700 + 500 + 500 mm, so that
   * 1.7 mm² is the most that may be lost. */
  static const struct
  {
    double height_mm;
    gboolean is_taken;
  } cases[] = { { 100, TRUE }, { 100.01, TRUE }, { 100.02, FALSE }, { 99.99, TRUE }, { 99, FALSE } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      RakeEntry *zones = new_zones (bench, RAKE_DIVISION_CUT);

      g_array_append_val (zones->zones.removed, bench->left);
      add_zone (zones, any_id (), "Upper", random_rectangle (0, 0, 150, 100));
      add_zone (zones, any_id (), "Lower", random_rectangle (0, 100, 150, cases[i].height_mm));
      if (cases[i].is_taken)
        bench_write (bench, zones);
      else
        bench_refuses (bench, zones, RAKE_JOB_ERROR_RULE);
    }
}

static void
a_face_does_not_mix_with_another (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *face = rake_entry_new (RAKE_ENTRY_FACE), *pass, *schedule, *zones, *facts;
  RakeId back;

  face->face.name = g_strdup ("Back");
  face->face.outline = random_rectangle (0, 0, 300, 200);
  back = bench_write (bench, face);

  pass = new_pass (bench->stages[0], bench->left);
  g_array_append_val (pass->pass.zones, back);
  bench_refuses (bench, pass, RAKE_JOB_ERROR_RULE);

  schedule = new_schedule (bench);
  schedule->schedule.face = back;
  add_stage (schedule, bench->stages[0], RAKE_ACTION_LEVEL, "P400", 35.0);
  bench_refuses (bench, schedule, RAKE_JOB_ERROR_RULE);

  zones = new_zones (bench, RAKE_DIVISION_JOIN);
  g_array_append_val (zones->zones.removed, bench->left);
  g_array_append_val (zones->zones.removed, back);
  add_zone (zones, any_id (), "Both", random_rectangle (0, 0, 300, 300));
  bench_refuses (bench, zones, RAKE_JOB_ERROR_RULE);

  facts = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);
  facts->zone_facts.zone = back;
  facts->zone_facts.first_stage = bench->stages[1];
  bench_refuses (bench, facts, RAKE_JOB_ERROR_RULE);
}

static void
what_was_divided_is_no_longer_worked_on (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *reading = rake_entry_new (RAKE_ENTRY_READING);

  assert_null (rake_job_find_zone (bench->bench->job, bench->face));
  bench_refuses (bench, new_pass (bench->stages[0], bench->face), RAKE_JOB_ERROR_REFERENCE);
  bench_refuses (bench, new_look (bench->face), RAKE_JOB_ERROR_REFERENCE);
  bench_refuses (bench, new_repair (bench->face, RAKE_REPAIR_FILL, RAKE_ID_NIL),
                 RAKE_JOB_ERROR_REFERENCE);
  reading->reading.zone = bench->face;
  bench_refuses (bench, reading, RAKE_JOB_ERROR_REFERENCE);
}

static void
an_entry_that_belongs_earlier_is_put_there (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeEntry) late = new_look (bench->left);
  const GPtrArray *history;
  RakeId pass;

  bench->bench->now_ms += 10;
  pass = bench_write (bench, new_pass (bench->stages[0], bench->left));
  late->written_ms = rake_job_find_entry (bench->bench->job, pass)->written_ms - 1;
  assert_true (rake_job_apply (bench->bench->job, late, NULL));
  history = zone_of (bench, bench->left)->history;
  assert_int_equal (history->len, 2);
  assert_true (history->pdata[0] == late);
  assert_true (rake_job_get_entry (bench->bench->job,
                                   rake_job_get_n_entries (bench->bench->job) - 2) == late);
}

/* docs/entries.md, "The order": by time, then bench, then number. */
static void
entries_of_one_moment_are_ordered_by_bench_then_number (void **state)
{
  static const struct
  {
    guint8 bench;
    gint64 written_ms, number;
    const char *text;
  } cases[] = { { 2, 1000, 1, "d" }, { 1, 1000, 9, "c" }, { 1, 1000, 2, "b" }, { 3, 999, 7, "a" } };
  g_autoptr (RakeJob) job = rake_job_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeEntry) note = new_note (cases[i].text);

      note->bench.bytes[0] = cases[i].bench;
      note->written_ms = note->happened_ms = cases[i].written_ms;
      note->number = cases[i].number;
      assert_true (rake_job_adopt (job, &note, 1, NULL, NULL));
    }
  for (guint i = 0; i < 4; i++)
    assert_int_equal (rake_job_get_entry (job, i)->note.text[0], "abcd"[i]);
}

/* Drafts that are tried out before they are stamped. */
static void
entries_without_a_number_keep_the_order_of_arrival (void **state)
{
  g_autoptr (RakeJob) job = rake_job_new ();
  RakeEntry *notes[4];

  for (guint i = 0; i < 4; i++)
    {
      notes[i] = new_note ("same moment");
      notes[i]->written_ms = i == 3 ? 999 : 1000;
    }
  assert_true (rake_job_adopt (job, notes, 1, NULL, NULL));
  assert_true (rake_job_adopt (job, notes + 1, 3, NULL, NULL));
  assert_true (rake_job_get_entry (job, 0) == notes[3]);
  for (guint i = 0; i < 3; i++)
    assert_true (rake_job_get_entry (job, i + 1) == notes[i]);
  for (guint i = 0; i < 4; i++)
    rake_entry_unref (notes[i]);
}

static void
nothing_speaks_of_what_comes_later (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeEntry) look = new_look (bench->left);
  g_autoptr (GError) error = NULL;

  look->written_ms = rake_job_find_entry (bench->bench->job, bench->division)->written_ms - 1;
  assert_false (rake_job_adopt (bench->bench->job, &look, 1, NULL, &error));
  assert_true (g_error_matches (error, RAKE_JOB_ERROR, RAKE_JOB_ERROR_REFERENCE));
}

static void
what_was_just_applied_can_be_forgotten (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autofree char *before = rake_job_dump (bench->bench->job), *after = NULL;
  RakeEntry *gone[2];

  bench_write (bench, new_pass (bench->stages[1], bench->left));
  bench_write (bench, new_look (bench->left));
  for (guint i = 0; i < 2; i++)
    gone[i] = bench->bench->written->pdata[bench->bench->written->len - 2 + i];
  rake_job_forget (bench->bench->job, gone, 2);
  after = rake_job_dump (bench->bench->job);
  assert_string_equal (before, after);
  assert_true (rake_job_apply (bench->bench->job, gone[0], NULL));
}

static void
a_refused_batch_leaves_nothing_and_names_the_culprit (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autofree char *before = rake_job_dump (bench->bench->job), *after = NULL;
  g_autoptr (RakeEntry) good = new_note ("good"), bad = new_look (any_id ());
  RakeEntry *batch[] = { good, bad };
  g_autoptr (GError) error = NULL;
  guint which = 9;

  good->written_ms = bad->written_ms = bench->bench->now_ms + 1;
  assert_false (rake_job_adopt (bench->bench->job, batch, 2, &which, &error));
  assert_true (g_error_matches (error, RAKE_JOB_ERROR, RAKE_JOB_ERROR_REFERENCE));
  assert_int_equal (which, 1);
  assert_null (rake_job_find_entry (bench->bench->job, good->id));
  after = rake_job_dump (bench->bench->job);
  assert_string_equal (before, after);
}

/* --- where a zone stands ------------------------------------------------------------------------------ */

/* docs/judging.md, "Where a zone stands". */
static void
zones_stand_where_the_page_says (void **state)
{
  static const struct
  {
    const char *script;
    int face, left, right;
  } cases[] = {
    { "", 0, 0, 0 },
    { "b1", 1, 1, 1 },
    { "p0l", 0, 0, 0 },
    { "p2l", 2, 2, 2 },             /* a pass at a later stage takes the face on */
    { "b2 p1l", 2, 1, 2 },          /* sent back: the zone alone */
    { "b2 p1l p2l", 2, 2, 2 },      /* and forward again */
    { "b2 p1l b2", 2, 2, 2 },       /* the face moved since */
    { "b2 p1l p3r", 3, 3, 3 },
    { "b2 b0", 0, 0, 0 },           /* the last stage begun, also back */
    { "b2 b0 p1r", 1, 1, 1 },
    { "b2 R1l", 2, 1, 2 },
    { "b2 R1l p2l", 2, 2, 2 },
    { "b2 c", 0, 0, 0 },            /* a recoat */
    { "b2 p1l X", 0, 0, 0 },
    { "b2 X p1l", 1, 1, 1 },        /* passes after it move it on as always */
    { "b1 d0", 1, 1, 1 },           /* a later schedule: stages of the same id persist */
    { "b1 b2 d2", 1, 1, 1 },        /* the stage is gone: the last that is not */
    { "b2 d2", 0, 0, 0 },
    { "b2 p1l d1", 2, 2, 2 },
    { "b2 b0 d0", 1, 1, 1 },        /* and never one that it went back from */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_auto (GStrv) steps = g_strsplit (cases[i].script, " ", -1);
      int face, left, right;

      for (char **step = steps; *step != NULL; step++)
        if (**step != '\0')
          write_script_step (bench, *step);
      face = stage_number (bench, rake_job_find_face (bench->bench->job, bench->face)->stage);
      left = stage_number (bench, zone_of (bench, bench->left)->stage);
      right = stage_number (bench, zone_of (bench, bench->right)->stage);
      if (face != cases[i].face || left != cases[i].left || right != cases[i].right)
        fail_msg ("\"%s\": face %d, left %d, right %d; expected %d, %d, %d", cases[i].script, face,
                  left, right, cases[i].face, cases[i].left, cases[i].right);
    }
}

static void
stages_know_their_place_and_the_last_sanding (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  const RakeFace *face = rake_job_find_face (bench->bench->job, bench->face);

  for (guint i = 0; i < N_STAGES; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];
      assert_int_equal (stage->position, i);
      assert_int_equal (stage->is_last_sanding, i == 2);
    }
  write_script_step (bench, "d2");
  assert_int_equal (rake_job_find_stage (bench->bench->job, bench->stages[2])->position, G_MAXUINT);
  assert_false (rake_job_find_stage (bench->bench->job, bench->stages[2])->is_last_sanding);
  assert_true (rake_job_find_stage (bench->bench->job, bench->stages[1])->is_last_sanding);
  bench_refuses (bench, new_pass (bench->stages[2], bench->left), RAKE_JOB_ERROR_REFERENCE);
}

static void
a_kept_stage_keeps_its_grade (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *schedule = new_schedule (bench);

  add_stage (schedule, bench->stages[0], RAKE_ACTION_LEVEL, "P600", 25.8);
  bench_refuses (bench, schedule, RAKE_JOB_ERROR_RULE);
}

/* A zone whose first stage is dropped from the schedule must not begin coarser. */
static void
a_zone_whose_first_stage_is_dropped_begins_no_coarser (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *facts = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);

  facts->zone_facts.zone = bench->left;
  facts->zone_facts.first_stage = bench->stages[1];
  bench_write (bench, facts);
  assert_int_equal (stage_number (bench, zone_of (bench, bench->left)->first_stage), 1);
  assert_int_equal (stage_number (bench, zone_of (bench, bench->right)->first_stage), 0);
  write_script_step (bench, "d1");
  assert_int_equal (stage_number (bench, zone_of (bench, bench->left)->first_stage), 2);
}

/* --- inheriting --------------------------------------------------------------------------------------- */

static void
a_cut_zone_leaves_its_history_to_both_parts (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, look;
  RakeEntry *zones;

  write_script_step (bench, "b2");
  write_script_step (bench, "p1l");
  look = bench_write (bench, new_look (bench->left));
  bench_write (bench, new_state (look, RAKE_STATE_UNIFORM));
  zones = new_cut_of_left (bench, &upper, &lower);
  bench_write (bench, zones);
  for (int i = 0; i < 2; i++)
    {
      const RakeZone *zone = zone_of (bench, i == 0 ? upper : lower);

      assert_int_equal (zone->history->len, 4);
      assert_int_equal (count_in_history (zone, RAKE_ENTRY_LOOK), 1);
      assert_int_equal (count_in_history (zone, RAKE_ENTRY_STATE), 1);
      assert_int_equal (stage_number (bench, zone->stage), 1); /* sent back, both */
    }
  assert_null (rake_job_find_zone (bench->bench->job, bench->left));
}

static void
a_joined_zone_has_the_passes_of_its_parts_and_none_of_their_looks (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *both = new_pass (bench->stages[1], bench->left);
  RakeId whole, look;

  write_script_step (bench, "p0l");
  write_script_step (bench, "p0r");
  g_array_append_val (both->pass.zones, bench->right);
  bench_write (bench, both);
  look = bench_write (bench, new_look (bench->left));
  bench_write (bench, new_state (look, RAKE_STATE_UNIFORM));
  bench_write (bench, new_join (bench, &whole));
  assert_int_equal (zone_of (bench, whole)->history->len, 3); /* the pass on both once */
  assert_int_equal (count_in_history (zone_of (bench, whole), RAKE_ENTRY_PASS), 3);
}

static void
a_joined_zone_stands_where_its_coarsest_part_stands (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId whole;

  write_script_step (bench, "b2");
  write_script_step (bench, "p0r");
  write_script_step (bench, "p1l");
  bench_write (bench, new_join (bench, &whole));
  assert_int_equal (stage_number (bench, zone_of (bench, whole)->stage), 0);
}

static void
what_is_not_said_of_a_new_zone_is_as_it_was (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *facts = rake_entry_new (RAKE_ENTRY_ZONE_FACTS), *zones;
  RakeId upper, lower, whole;
  const RakeZone *zone;

  facts->zone_facts.zone = bench->left;
  facts->zone_facts.is_edge = RAKE_ANSWER_YES;
  facts->zone_facts.edge_factor = 1.5;
  facts->zone_facts.reserve_um = 25;
  facts->zone_facts.first_stage = bench->stages[1];
  bench_write (bench, facts);
  zones = new_cut_of_left (bench, &upper, &lower);
  g_array_index (zones->zones.added, RakeZoneSpec, 1).is_edge = RAKE_ANSWER_NO;
  bench_write (bench, zones);
  zone = zone_of (bench, upper);
  assert_true (zone->is_edge && zone->edge_factor == 1.5 && zone->reserve_um == 25);
  assert_int_equal (stage_number (bench, zone->first_stage), 1);
  assert_false (zone_of (bench, lower)->is_edge);

  bench->left = upper;
  zones = new_zones (bench, RAKE_DIVISION_JOIN);
  whole = any_id ();
  g_array_append_val (zones->zones.removed, upper);
  g_array_append_val (zones->zones.removed, bench->right);
  add_zone (zones, whole, "Mixed",
            rake_shape_union (zone->shape, zone_of (bench, bench->right)->shape, NULL));
  bench_write (bench, zones);
  zone = zone_of (bench, whole);
  assert_true (!zone->is_edge && zone->edge_factor == 1 && zone->reserve_um == 25);
  assert_int_equal (stage_number (bench, zone->first_stage), 0);
}

static void
of_two_reserves_the_larger_is_kept (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId whole;

  for (int i = 0; i < 2; i++)
    {
      RakeEntry *facts = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);

      facts->zone_facts.zone = i == 0 ? bench->left : bench->right;
      facts->zone_facts.reserve_um = i == 0 ? 10 : 25;
      bench_write (bench, facts);
    }
  bench_write (bench, new_join (bench, &whole));
  assert_true (zone_of (bench, whole)->reserve_um == 25);
}

static void
a_place_is_in_one_zone_or_none (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  const RakeFace *face = rake_job_find_face (bench->bench->job, bench->face);

  assert_true (rake_face_find_zone_at (face, 20, 20) == zone_of (bench, bench->left));
  assert_true (rake_face_find_zone_at (face, 280, 20) == zone_of (bench, bench->right));
  assert_null (rake_face_find_zone_at (face, 301, 20));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_face_is_one_zone_of_its_name),
    cmocka_unit_test (what_speaks_of_nothing_known_is_refused),
    cmocka_unit_test (an_id_is_taken_once),
    cmocka_unit_test (zones_that_do_not_add_up_are_refused),
    cmocka_unit_test (a_face_does_not_mix_with_another),
    cmocka_unit_test (what_was_divided_is_no_longer_worked_on),
    cmocka_unit_test (an_entry_that_belongs_earlier_is_put_there),
    cmocka_unit_test (entries_of_one_moment_are_ordered_by_bench_then_number),
    cmocka_unit_test (entries_without_a_number_keep_the_order_of_arrival),
    cmocka_unit_test (nothing_speaks_of_what_comes_later),
    cmocka_unit_test (what_was_just_applied_can_be_forgotten),
    cmocka_unit_test (a_refused_batch_leaves_nothing_and_names_the_culprit),
    cmocka_unit_test (zones_stand_where_the_page_says),
    cmocka_unit_test (stages_know_their_place_and_the_last_sanding),
    cmocka_unit_test (a_kept_stage_keeps_its_grade),
    cmocka_unit_test (a_zone_whose_first_stage_is_dropped_begins_no_coarser),
    cmocka_unit_test (a_cut_zone_leaves_its_history_to_both_parts),
    cmocka_unit_test (a_joined_zone_has_the_passes_of_its_parts_and_none_of_their_looks),
    cmocka_unit_test (a_joined_zone_stands_where_its_coarsest_part_stands),
    cmocka_unit_test (what_is_not_said_of_a_new_zone_is_as_it_was),
    cmocka_unit_test (of_two_reserves_the_larger_is_kept),
    cmocka_unit_test (a_place_is_in_one_zone_or_none),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
