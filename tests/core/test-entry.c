/* test-entry.c - what an entry may say, and that the page and the table say the same. */
#include <rakelight/entry.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

/* --- entries that are right ------------------------------------------------------------------------ */

static RakeShape *
new_square (void)
{
  static const double points_mm[] = { 0, 0, 10, 0, 10, 10, 0, 10 };
  return rake_shape_new_area (points_mm, 4, NULL);
}

static RakeShape *
new_shape_for (const RakeField *field)
{
  static const double points_mm[] = { 1, 2, 3, 4 };

  return field->shape_kind == RAKE_SHAPE_LINE ? rake_shape_new_line (points_mm, 2, NULL)
                                              : new_square ();
}

static void say (const RakeField *field, gpointer record);

static void
say_item (const RakeField *field, gpointer list)
{
  RakeId id = rake_id_new (1);
  guint length;

  if (field->type == RAKE_FIELD_TEXTS)
    g_ptr_array_add (list, g_strdup ("one"));
  else if (field->type == RAKE_FIELD_IDS)
    g_array_append_val ((GArray *) list, id);
  else
    {
      length = ((GArray *) list)->len;
      g_array_set_size (list, length + 1);
      rake_field_init_record (field->fields, field->record_size,
                              ((GArray *) list)->data + length * field->record_size);
      for (const RakeField *inner = field->fields; inner->name != NULL; inner++)
        if (inner->is_required)
          say (inner, ((GArray *) list)->data + length * field->record_size);
    }
}

static void
say (const RakeField *field, gpointer record)
{
  gpointer place = (guint8 *) record + field->offset;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      *(char **) place = g_strdup ("text");
      break;
    case RAKE_FIELD_ID:
      *(RakeId *) place = rake_id_new (2);
      break;
    case RAKE_FIELD_REAL:
      *(double *) place = field->min > 0 ? field->min : 0.5;
      break;
    case RAKE_FIELD_WORD:
      *(int *) place = 1;
      break;
    case RAKE_FIELD_SHAPE:
      *(RakeShape **) place = new_shape_for (field);
      break;
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_TEXTS:
    case RAKE_FIELD_RECORDS:
      say_item (field, *(gpointer *) place);
      break;
    }
}

/* An entry that says what is required and no more. */
static RakeEntry *
new_least (RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);

  for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
    if (field->is_required)
      say (field, &entry->job);
  if (kind == RAKE_ENTRY_ZONES)
    say (&rake_entry_kind_get_fields (kind)[4], &entry->job); /* one zone becomes two */
  if (kind == RAKE_ENTRY_SCHEDULE)
    g_array_index (entry->schedule.stages, RakeStageSpec, 0).grade = g_strdup ("P800");
  if (kind == RAKE_ENTRY_STRIKE)
    entry->strike.reason = g_strdup ("wrong zone");
  if (kind == RAKE_ENTRY_PHOTO)
    {
      g_free (entry->photo.sha256);
      entry->photo.sha256 = g_strnfill (64, '0');
    }
  if (kind == RAKE_ENTRY_DEFECT)
    entry->defect.what = g_strdup ("a knock");
  for (int i = 1; kind == RAKE_ENTRY_REGISTRATION && i < 4; i++)
    say (&rake_entry_kind_get_fields (kind)[2], &entry->job); /* four pairs */
  return entry;
}

static void
what_is_required_is_enough (void **state)
{
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      g_autoptr (RakeEntry) entry = new_least ((RakeEntryKind) kind);
      g_autoptr (GError) error = NULL;

      if (!rake_entry_check (entry, &error))
        fail_msg ("%s: %s", rake_entry_kind_get_name (entry->kind), error->message);
    }
}

static void
unsay (const RakeField *field, gpointer record)
{
  gpointer place = (guint8 *) record + field->offset;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      g_clear_pointer ((char **) place, g_free);
      break;
    case RAKE_FIELD_ID:
      *(RakeId *) place = RAKE_ID_NIL;
      break;
    case RAKE_FIELD_REAL:
      *(double *) place = NAN;
      break;
    case RAKE_FIELD_WORD:
      *(int *) place = 0;
      break;
    case RAKE_FIELD_SHAPE:
      g_clear_pointer ((RakeShape **) place, rake_shape_unref);
      break;
    case RAKE_FIELD_TEXTS:
      g_ptr_array_set_size (*(GPtrArray **) place, 0);
      break;
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_RECORDS:
      g_array_set_size (*(GArray **) place, 0);
      break;
    }
}

static void
every_required_field_is_missed_by_name (void **state)
{
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
      {
        g_autoptr (RakeEntry) entry = new_least ((RakeEntryKind) kind);
        g_autoptr (GError) error = NULL;

        if (!field->is_required)
          continue;
        unsay (field, &entry->job);
        assert_false (rake_entry_check (entry, &error));
        assert_true (g_error_matches (error, RAKE_ENTRY_ERROR, RAKE_ENTRY_ERROR_FIELD));
        if (!g_str_has_prefix (error->message, field->name))
          fail_msg ("%s without %s: %s", rake_entry_kind_get_name (entry->kind), field->name,
                    error->message);
      }
}

static void
every_number_is_held_to_its_limits (void **state)
{
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
      {
        const double bad[] = { field->min - 0.001, field->max + 0.001, INFINITY, -INFINITY,
                               field->max_is_open ? field->max : INFINITY };

        if (field->type != RAKE_FIELD_REAL)
          continue;
        for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
          {
            g_autoptr (RakeEntry) entry = new_least ((RakeEntryKind) kind);
            g_autoptr (GError) error = NULL;

            *(double *) (gpointer) ((guint8 *) &entry->job + field->offset) = bad[i];
            if (rake_entry_check (entry, &error) || !g_str_has_prefix (error->message, field->name))
              fail_msg ("%s of %g: %s", field->name, bad[i],
                        error != NULL ? error->message : "taken");
          }
      }
}

/* --- sentences ------------------------------------------------------------------------------------- */

static void
long_name (RakeEntry *entry)
{
  g_free (entry->face.name);
  entry->face.name = g_strnfill (201, 'a');
}

static void
name_of_two_lines (RakeEntry *entry)
{
  g_free (entry->face.name);
  entry->face.name = g_strdup ("a\nb");
}

static void
name_of_half_a_letter (RakeEntry *entry)
{
  g_free (entry->face.name);
  entry->face.name = g_strdup ("\xc3");
}

static void
face_of_a_line (RakeEntry *entry)
{
  static const double points_mm[] = { 0, 0, 5, 5 };

  rake_shape_unref (entry->face.outline);
  entry->face.outline = rake_shape_new_line (points_mm, 2, NULL);
}

static void
stroke_of_400 (RakeEntry *entry)
{
  entry->pass.stroke_deg = 400;
}

static void
zone_passed_twice (RakeEntry *entry)
{
  RakeId zone = g_array_index (entry->pass.zones, RakeId, 0);

  g_array_append_val (entry->pass.zones, zone);
}

static void
word_of_no_list (RakeEntry *entry)
{
  entry->pass.paper = (RakePaper) 9;
}

static void
correction_without_reason (RakeEntry *entry)
{
  g_clear_pointer (&entry->strike.reason, g_free);
}

static void
strike_of_itself (RakeEntry *entry)
{
  entry->strike.entry = entry->id;
}

static void
one_into_one (RakeEntry *entry)
{
  g_array_set_size (entry->zones.added, 1);
}

static void
join_of_one (RakeEntry *entry)
{
  entry->zones.division = RAKE_DIVISION_JOIN;
}

static void
zone_that_stays (RakeEntry *entry)
{
  g_array_index (entry->zones.added, RakeZoneSpec, 1).id =
      g_array_index (entry->zones.removed, RakeId, 0);
}

static void
two_of_one_id (RakeEntry *entry)
{
  g_array_index (entry->zones.added, RakeZoneSpec, 1).id =
      g_array_index (entry->zones.added, RakeZoneSpec, 0).id;
}

static void
added_without_shape (RakeEntry *entry)
{
  g_clear_pointer (&g_array_index (entry->zones.added, RakeZoneSpec, 1).shape, rake_shape_unref);
}

static void
stage_without_grade (RakeEntry *entry)
{
  g_clear_pointer (&g_array_index (entry->schedule.stages, RakeStageSpec, 0).grade, g_free);
}

static void
rest_with_grade (RakeEntry *entry)
{
  g_array_index (entry->schedule.stages, RakeStageSpec, 0).action = RAKE_ACTION_REST;
}

static void
uniform_with_share (RakeEntry *entry)
{
  entry->state.state = RAKE_STATE_UNIFORM;
  entry->state.low_spot_fraction = 0.1;
}

static void
burn_with_scratch (RakeEntry *entry)
{
  entry->state.state = RAKE_STATE_BURN;
  entry->state.scratch_mm = 3;
}

static void
half_an_island (RakeEntry *entry)
{
  entry->state.state = RAKE_STATE_LOW_SPOT;
  entry->state.n_islands_over_limit = 1.5;
}

static void
half_a_pair (RakeEntry *entry)
{
  entry->rate.n_pairs = 1.5;
}

static void
no_hash (RakeEntry *entry)
{
  entry->photo.sha256[63] = 'A';
}

static void
half_a_pixel (RakeEntry *entry)
{
  entry->photo.width_px = 1.5;
}

static void
offset_of_nobody (RakeEntry *entry)
{
  entry->photo.offset_minutes = 60;
}

static void
photo_of_a_stage_alone (RakeEntry *entry)
{
  entry->photo.stage = rake_id_new (1);
}

static void
three_pairs (RakeEntry *entry)
{
  g_array_set_size (entry->registration.pairs, 3);
}

static void
defect_of_nothing (RakeEntry *entry)
{
  g_clear_pointer (&entry->defect.what, g_free);
}

static void
accepted_for_no_reason (RakeEntry *entry)
{
  entry->defect.standing = RAKE_STANDING_ACCEPTED;
}

static void
cost_in_nothing (RakeEntry *entry)
{
  entry->defect.cost = 12;
}

static void
small_currency (RakeEntry *entry)
{
  entry->claim.cost = 12;
  entry->claim.currency = g_strdup ("eur");
}

static void
short_seal (RakeEntry *entry)
{
  entry->hand_over.seal = g_strnfill (63, '0');
}

static void
gone_with_shape (RakeEntry *entry)
{
  entry->revisit.outcome = RAKE_OUTCOME_GONE;
  entry->revisit.shape = new_square ();
}

static void
film_below_nothing (RakeEntry *entry)
{
  entry->reading.value = -1;
}

static void
film_at_an_angle (RakeEntry *entry)
{
  entry->reading.angle_deg = 60;
}

static void
happened_long_ago (RakeEntry *entry)
{
  entry->happened_ms = G_GINT64_CONSTANT (-3000000000000);
}

static void
happens_next_week (RakeEntry *entry)
{
  entry->happened_ms = entry->written_ms + 7 * G_GINT64_CONSTANT (86400000);
}

static void
written_in_no_year (RakeEntry *entry)
{
  entry->written_ms = entry->happened_ms = G_MAXINT64;
}

static void
a_day_off_utc (RakeEntry *entry)
{
  entry->utc_offset_minutes = 24 * 60;
}

static void
who_of_two_lines (RakeEntry *entry)
{
  entry->who = g_strdup ("a\tb");
}

static void
empty_preparation (RakeEntry *entry)
{
  g_ptr_array_add (entry->begin_stage.prepared, g_strdup (""));
}

static void
what_is_wrong_is_said_in_a_sentence (void **state)
{
  static const struct
  {
    RakeEntryKind kind;
    void (*spoil) (RakeEntry *);
    const char *sentence;
  } cases[] = {
    { RAKE_ENTRY_FACE, long_name, "name has 201 bytes; at most 200 are kept" },
    { RAKE_ENTRY_FACE, name_of_two_lines, "name has the control character 10 in it" },
    { RAKE_ENTRY_FACE, name_of_half_a_letter, "name is not UTF-8 text" },
    { RAKE_ENTRY_FACE, face_of_a_line, "outline is not an area" },
    { RAKE_ENTRY_PASS, stroke_of_400, "stroke_deg is 400; a direction is 0 to less than 360" },
    { RAKE_ENTRY_PASS, zone_passed_twice, "zones 2 is named twice" },
    { RAKE_ENTRY_PASS, word_of_no_list, "paper is 9, which is no word of its list" },
    { RAKE_ENTRY_STRIKE, correction_without_reason, "reason is missing; a correction says why" },
    { RAKE_ENTRY_STRIKE, strike_of_itself, "entry is the strike itself" },
    { RAKE_ENTRY_ZONES, one_into_one, "zones makes 1 into 1; a division makes several of one" },
    { RAKE_ENTRY_ZONES, join_of_one, "zones joins 1 into 2; a join makes one of several" },
    { RAKE_ENTRY_ZONES, zone_that_stays, "added 2: id is that of a removed zone; a new zone has a new id" },
    { RAKE_ENTRY_ZONES, two_of_one_id, "added 2: id is there twice" },
    { RAKE_ENTRY_ZONES, added_without_shape, "added 2: shape is missing" },
    { RAKE_ENTRY_SCHEDULE, stage_without_grade, "stages 1: grade is missing; this stage works with one" },
    { RAKE_ENTRY_SCHEDULE, rest_with_grade, "stages 1: grade is said, but looks and rest have none" },
    { RAKE_ENTRY_STATE, uniform_with_share, "low spots are measured, but state is not \"low spot\"" },
    { RAKE_ENTRY_STATE, burn_with_scratch, "scratch_mm is said, but state is not \"scratch\"" },
    { RAKE_ENTRY_STATE, half_an_island, "n_islands_over_limit is a count; it has no fraction" },
    { RAKE_ENTRY_RATE, half_a_pair, "n_pairs is a count; it has no fraction" },
    { RAKE_ENTRY_PHOTO, no_hash, "sha256 is not a hash of 64 lower-case hexadecimal digits" },
    { RAKE_ENTRY_PHOTO, half_a_pixel, "width_px is a count; it has no fraction" },
    { RAKE_ENTRY_PHOTO, offset_of_nobody, "offset_minutes and is_offset_assumed go together" },
    { RAKE_ENTRY_PHOTO, photo_of_a_stage_alone, "face is missing; stage, pass, zones and marks are a face's" },
    { RAKE_ENTRY_REGISTRATION, three_pairs, "pairs has 3 items; a photograph is laid on a face by four or more" },
    { RAKE_ENTRY_DEFECT, defect_of_nothing, "what is missing; a defect without a mark says what it is" },
    { RAKE_ENTRY_DEFECT, accepted_for_no_reason, "outcome is missing; what is accepted or left as agreed says why" },
    { RAKE_ENTRY_DEFECT, cost_in_nothing, "cost and currency go together" },
    { RAKE_ENTRY_CLAIM, small_currency, "currency is “eur”; it takes three capitals, as EUR" },
    { RAKE_ENTRY_HAND_OVER, short_seal, "seal is not a hash of 64 lower-case hexadecimal digits" },
    { RAKE_ENTRY_REVISIT, gone_with_shape, "shape is said of a mark that is gone" },
    { RAKE_ENTRY_READING, film_below_nothing, "value is below zero; only a temperature can be" },
    { RAKE_ENTRY_READING, film_at_an_angle, "angle_deg is said, but only a gloss meter has one" },
    { RAKE_ENTRY_NOTE, happened_long_ago, "happened is before the year 1900" },
    { RAKE_ENTRY_NOTE, happens_next_week, "happened is later than written; an entry tells what was done" },
    { RAKE_ENTRY_NOTE, written_in_no_year, "written is not between the years 1900 and 2200" },
    { RAKE_ENTRY_NOTE, a_day_off_utc, "the local time is 1440 minutes off UTC; at most 18 hours are" },
    { RAKE_ENTRY_NOTE, who_of_two_lines, "who has the control character 9 in it" },
    { RAKE_ENTRY_BEGIN_STAGE, empty_preparation, "prepared 1 is missing" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeEntry) entry = new_least (cases[i].kind);
      g_autoptr (GError) error = NULL;

      cases[i].spoil (entry);
      if (rake_entry_check (entry, &error) || strcmp (error->message, cases[i].sentence) != 0)
        fail_msg ("expected “%s”, got “%s”", cases[i].sentence, error ? error->message : "nothing");
    }
}

static void
a_long_text_may_have_lines (void **state)
{
  g_autoptr (RakeEntry) note = new_least (RAKE_ENTRY_NOTE);

  g_free (note->note.text);
  note->note.text = g_strdup ("one\n\ttwo");
  assert_true (rake_entry_check (note, NULL));
}

/* --- the table -------------------------------------------------------------------------------------- */

static void
words_and_values_go_round (void **state)
{
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      assert_int_equal (rake_entry_kind_from_name (rake_entry_kind_get_name (kind)), kind);
      for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
        for (int value = 1; field->type == RAKE_FIELD_WORD && field->words[value] != NULL; value++)
          {
            assert_int_equal (rake_field_find_word (field, rake_field_get_word (field, value)),
                              value);
            assert_null (rake_field_get_word (field, 0));
            assert_null (rake_field_get_word (field, 99));
          }
    }
  assert_int_equal (rake_entry_kind_from_name ("polish"), 0);
  assert_int_equal (
      rake_field_find_word (&rake_entry_kind_get_fields (RAKE_ENTRY_STATE)[1], "lowspot"), 0);
}

static const char *
find_section (const char *page, const char *kind, gsize *length)
{
  g_autofree char *heading = g_strdup_printf ("\n## %s\n", kind);
  const char *start = strstr (page, heading), *end;

  if (start == NULL)
    {
      fail_msg ("docs/entries.md has no section \"%s\"", kind);
      return NULL;
    }
  end = strstr (start + 1, "\n## ");
  *length = end != NULL ? (gsize) (end - start) : strlen (start);
  return start;
}

static void
assert_row (const char *section, gsize length, const char *kind, const char *outer,
            const RakeField *field)
{
  g_autofree char *row = outer != NULL ? g_strdup_printf ("\n| `%s` · `%s` |", outer, field->name)
                                       : g_strdup_printf ("\n| `%s` |", field->name);
  const char *start = g_strstr_len (section, (gssize) length, row), *end;
  g_autofree char *text = NULL;

  if (start == NULL)
    {
      fail_msg ("docs/entries.md does not describe %s of %s", field->name, kind);
      return;
    }
  end = strchr (start + 1, '\n');
  text = g_strndup (start, (gsize) (end - start));
  if (field->is_required != (strstr (text, "(required)") != NULL))
    fail_msg ("docs/entries.md and the table differ on whether %s of %s is required", field->name,
              kind);
  for (int value = 1; field->type == RAKE_FIELD_WORD && field->words[value] != NULL; value++)
    {
      g_autofree char *word = g_strdup_printf ("`%s`", field->words[value]);
      if (strstr (text, word) == NULL)
        fail_msg ("docs/entries.md does not list the word %s of %s", word, field->name);
    }
}

/* The rows stand in the order of the table too: it is the order of the canonical line. */
static void
the_page_describes_every_field_in_order (void **state)
{
  g_autofree char *path =
      g_build_filename (g_getenv ("RAKE_SOURCE_ROOT"), "docs", "entries.md", NULL);
  g_autofree char *page = NULL;

  assert_true (g_file_get_contents (path, &page, NULL, NULL));
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      const char *name = rake_entry_kind_get_name (kind), *before = NULL;
      gsize length = 0;
      const char *section = find_section (page, name, &length);

      for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
        {
          g_autofree char *cell = g_strdup_printf ("\n| `%s` |", field->name);
          const char *at = g_strstr_len (section, (gssize) length, cell);

          assert_row (section, length, name, NULL, field);
          if (at < before)
            fail_msg ("docs/entries.md has %s of %s in another place than the table", field->name,
                      name);
          before = at;
          for (const RakeField *inner = field->fields; inner != NULL && inner->name != NULL;
               inner++)
            assert_row (section, length, name, field->name, inner);
        }
    }
}

/* --- life ------------------------------------------------------------------------------------------- */

static void
a_new_entry_says_nothing_and_is_alone (void **state)
{
  g_autoptr (RakeEntry) coat = rake_entry_new (RAKE_ENTRY_COAT);
  g_autoptr (RakeEntry) again = rake_entry_ref (coat);

  assert_true (again == coat);
  assert_true (isnan (coat->coat.wet_um) && isnan (coat->coat.scuff_sd_um));
  assert_true (rake_id_is_nil (coat->coat.face));
  assert_true (rake_id_equal (coat->gesture, coat->id));
  assert_int_equal (coat->happened_ms, coat->written_ms);
}

static void
the_hash_changes_with_every_field (void **state)
{
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
      {
        g_autoptr (RakeEntry) entry = rake_entry_new ((RakeEntryKind) kind);
        guint8 before[32], after[32];

        rake_entry_compute_hash (entry, before);
        say (field, &entry->job);
        rake_entry_compute_hash (entry, after);
        if (memcmp (before, after, 32) == 0)
          fail_msg ("the hash does not see %s of %s", field->name, rake_entry_kind_get_name (kind));
      }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (what_is_required_is_enough),
    cmocka_unit_test (every_required_field_is_missed_by_name),
    cmocka_unit_test (every_number_is_held_to_its_limits),
    cmocka_unit_test (what_is_wrong_is_said_in_a_sentence),
    cmocka_unit_test (a_long_text_may_have_lines),
    cmocka_unit_test (words_and_values_go_round),
    cmocka_unit_test (the_page_describes_every_field_in_order),
    cmocka_unit_test (a_new_entry_says_nothing_and_is_alone),
    cmocka_unit_test (the_hash_changes_with_every_field),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
