/* test-canonical.c - the line that is hashed, against texts and sums made elsewhere. */
#include <rakelight/entry.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static RakeId
id_from (const char *text)
{
  RakeId id = RAKE_ID_NIL;

  assert_true (rake_id_from_text (text, &id));
  return id;
}

static void
numbers_are_as_short_as_they_can_be_and_read_back (void **state)
{
  /* The values of the second column were written by CPython's '%.15g' and '%.17g'. */
  static const struct
  {
    double value;
    const char *text;
  } cases[] = {
    { 0, "0" },
    { -0.0, "0" },
    { 1, "1" },
    { -12.5, "-12.5" },
    { 0.1, "0.1" },
    { 0.1 + 0.2, "0.30000000000000004" },
    { 1.0 / 3, "0.33333333333333331" },
    { 2.0 / 3, "0.66666666666666663" },
    { 100000, "100000" },
    { 1e10, "10000000000" },
    { 123456789012345678.0, "1.2345678901234568e+17" },
    { 1e-7, "1e-07" },
    { 5e-324, "4.94065645841247e-324" },
    { 1.7976931348623157e308, "1.7976931348623157e+308" },
  };
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      rake_number_to_text (cases[i].value, text);
      if (strcmp (text, cases[i].text) != 0)
        fail_msg ("row %zu: %s, expected %s", i, text, cases[i].text);
      assert_true (g_ascii_strtod (text, NULL) == cases[i].value);
    }
}

static void
times_are_what_date_says (void **state)
{
  /* From `date -u -d TIME +%s`, coreutils; the last two rows: RFC 3339, section 5.8. */
  static const struct
  {
    const char *text;
    gint64 unix_ms;
    int offset;
  } cases[] = {
    { "2026-03-01T09:12:00.000+01:00", 1772352720000, 60 },
    { "1970-01-01T00:00:00.000+00:00", 0, 0 },
    { "1969-12-31T23:59:59.999+00:00", -1, 0 },
    { "2024-02-29T23:30:00.500-09:30", 1709283600500, -570 },
    { "1900-01-01T00:00:00.000+00:00", -2208988800000, 0 },
    { "2199-12-31T23:59:59.000+14:00", 7258067999000, 840 },
    { "1985-04-12T23:20:50.520+00:00", 482196050520, 0 },
    { "1996-12-19T16:39:57.000-08:00", 851042397000, -480 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      char text[RAKE_TIME_TEXT_LENGTH + 1];
      gint64 unix_ms = 1;
      int offset = 1;

      rake_time_to_text (cases[i].unix_ms, cases[i].offset, text);
      assert_string_equal (text, cases[i].text);
      if (!rake_time_from_text (cases[i].text, &unix_ms, &offset) || unix_ms != cases[i].unix_ms ||
          offset != cases[i].offset)
        fail_msg ("%s was read as %" G_GINT64_FORMAT " %d", cases[i].text, unix_ms, offset);
    }
}

static void
every_day_goes_round_as_in_glib (void **state)
{
  for (int year = 1900; year <= 2200; year++)
    for (int day = 1; day <= 366; day += 5)
      {
        g_autoptr (GDateTime) start = g_date_time_new_utc (year, 1, 1, 0, 0, 0);
        g_autoptr (GDateTime) date = g_date_time_add_days (start, day - 1);
        g_autofree char *expected = g_date_time_format (date, "%Y-%m-%dT12:00:00.000+00:00");
        char text[RAKE_TIME_TEXT_LENGTH + 1];

        rake_time_to_text ((g_date_time_to_unix (date) + 43200) * 1000, 0, text);
        assert_string_equal (text, expected);
      }
}

static void
other_forms_of_a_time_are_read_and_nonsense_is_not (void **state)
{
  static const char *const good[] = { "2026-03-01T09:12:00Z", "2026-03-01t09:12:00.5z",
                                      "2026-03-01 09:12:00.123456+01:00" };
  static const char *const bad[] = {
    "", "2026", "2026-03-01", "2026-03-01T09:12:00", "2026-02-29T00:00:00Z", "2026-13-01T00:00:00Z",
    "2026-00-01T00:00:00Z", "2026-01-00T00:00:00Z", "2026-03-01T24:00:00Z", "2026-03-01T09:60:00Z",
    "2026-03-01T09:12:00.Z", "2026-03-01T09:12:00+0100", "2026-03-01T09:12:00Z ", "26-03-01T09:12:00Z",
    "2026-03-01T09:12:00+24:00", "-026-03-01T09:12:00Z",
  };
  gint64 unix_ms = 7;
  int offset = 7;

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    if (rake_time_from_text (bad[i], &unix_ms, &offset) || unix_ms != 7 || offset != 7)
      fail_msg ("\"%s\" was taken for a time", bad[i]);
  for (gsize i = 0; i < G_N_ELEMENTS (good); i++)
    assert_true (rake_time_from_text (good[i], &unix_ms, &offset));
  assert_int_equal (unix_ms % 1000, 123);
}

static void
texts_are_escaped_as_rfc_8259_demands_and_no_further (void **state)
{
  g_autoptr (RakeEntry) note = rake_entry_new (RAKE_ENTRY_NOTE);
  g_autofree char *line = NULL;

  note->note.text = g_strdup ("\"\\/\b\f\n\r\t\x01\x1f\x7f <µ>…");
  line = rake_entry_to_canonical (note);
  assert_non_null (
      strstr (line, "\"text\":\"\\\"\\\\/\\b\\f\\n\\r\\t\\u0001\\u001f\x7f <µ>…\",\"previous\""));
}

/* The line of docs/entries.md; its sum is sha256sum's. */
static void
the_entry_of_the_page_has_the_hash_of_the_page (void **state)
{
  static const char *const expected =
      "{\"kind\":\"note\",\"id\":\"01956f2c-8b80-7000-8000-000000000002\","
      "\"bench\":\"01956f2c-8b80-7000-8000-00000000000b\",\"number\":2,"
      "\"written\":\"2026-03-01T09:12:00.000+01:00\",\"happened\":\"2026-02-28T18:00:00.000+01:"
      "00\","
      "\"who\":\"Mara\",\"text\":\"“Dry” \\\\ wiped\\n\\t0.1 µm\",\"previous\":"
      "\"0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69788796a5b4c3d2e1f0\"}";
  static const guint8 hash[4] = { 0x98, 0x49, 0xcc, 0xd6 },
                      hash_end[4] = { 0xf5, 0x14, 0xdf, 0x02 };
  g_autoptr (RakeEntry) note = rake_entry_new (RAKE_ENTRY_NOTE);
  g_autofree char *line = NULL;
  int offset;

  note->id = note->gesture = id_from ("01956f2c-8b80-7000-8000-000000000002");
  note->bench = id_from ("01956f2c-8b80-7000-8000-00000000000b");
  note->number = 2;
  assert_true (rake_time_from_text ("2026-02-28T18:00:00+01:00", &note->happened_ms, &offset));
  assert_true (rake_time_from_text ("2026-03-01T09:12:00+01:00", &note->written_ms,
                                    &note->utc_offset_minutes));
  note->who = g_strdup ("Mara");
  note->note.text = g_strdup ("“Dry” \\ wiped\n\t0.1 µm");
  for (int i = 0; i < 16; i++)
    note->previous[i] = note->previous[i + 16] = (guint8) ((15 - i) | (i << 4));
  line = rake_entry_to_canonical (note);
  assert_string_equal (line, expected);
  rake_entry_seal (note);
  assert_memory_equal (note->hash, hash, 4);
  assert_memory_equal (note->hash + 28, hash_end, 4);
}

/* Every type of field, in the order of the tables, nested ones too. */
static void
every_type_of_field_stands_in_its_place (void **state)
{
  static const double square_mm[] = { 0, 0, 10, 0, 10, 10.5, 0, 10.5 },
                      cut_mm[] = { 0, 5, 10, 5.125 };
  g_autoptr (RakeEntry) zones = rake_entry_new (RAKE_ENTRY_ZONES);
  RakeZoneSpec spec = { .edge_factor = 1.5, .reserve_um = NAN, .coat_factor = NAN };
  g_autofree char *line = NULL;

  zones->id = id_from ("00000000-0000-7000-8000-000000000001");
  zones->bench = zones->gesture = id_from ("00000000-0000-7000-8000-00000000000b");
  zones->number = 3;
  zones->written_ms = zones->happened_ms = 0;
  zones->utc_offset_minutes = 0;
  zones->zones.face = id_from ("00000000-0000-7000-8000-00000000000f");
  zones->zones.division = RAKE_DIVISION_CUT;
  zones->zones.drawn = rake_shape_new_line (cut_mm, 2, NULL);
  g_array_append_val (zones->zones.removed, zones->zones.face);
  spec.id = zones->id;
  spec.name = g_strdup ("A");
  spec.shape = rake_shape_new_area (square_mm, 4, NULL);
  spec.is_edge = RAKE_ANSWER_YES;
  g_array_append_val (zones->zones.added, spec);
  line = rake_entry_to_canonical (zones);
  assert_string_equal (
      line, "{\"kind\":\"zones\",\"id\":\"00000000-0000-7000-8000-000000000001\","
            "\"bench\":\"00000000-0000-7000-8000-00000000000b\",\"number\":3,"
            "\"written\":\"1970-01-01T00:00:00.000+00:00\","
            "\"gesture\":\"00000000-0000-7000-8000-00000000000b\","
            "\"face\":\"00000000-0000-7000-8000-00000000000f\",\"division\":\"cut\","
            "\"drawn\":\"LINESTRING (0 5, 10 5.125)\","
            "\"removed\":[\"00000000-0000-7000-8000-00000000000f\"],"
            "\"added\":[{\"id\":\"00000000-0000-7000-8000-000000000001\",\"name\":\"A\","
            "\"shape\":\"POLYGON ((0 0, 10 0, 10 10.5, 0 10.5, 0 0))\",\"is_edge\":\"yes\","
            "\"edge_factor\":1.5}],"
            "\"previous\":\"0000000000000000000000000000000000000000000000000000000000000000\"}");
}

static void
what_is_empty_is_not_said (void **state)
{
  g_autoptr (RakeEntry) stage = rake_entry_new (RAKE_ENTRY_BEGIN_STAGE);
  g_autofree char *line = NULL, *without_lists = NULL;

  stage->who = g_strdup ("");
  line = rake_entry_to_canonical (stage);
  assert_null (strstr (line, "who"));
  assert_null (strstr (line, "prepared"));
  assert_null (strstr (line, "face\""));
  g_clear_pointer (&stage->begin_stage.prepared, g_ptr_array_unref);
  without_lists = rake_entry_to_canonical (stage);
  assert_string_equal (line, without_lists);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (numbers_are_as_short_as_they_can_be_and_read_back),
    cmocka_unit_test (times_are_what_date_says),
    cmocka_unit_test (every_day_goes_round_as_in_glib),
    cmocka_unit_test (other_forms_of_a_time_are_read_and_nonsense_is_not),
    cmocka_unit_test (texts_are_escaped_as_rfc_8259_demands_and_no_further),
    cmocka_unit_test (the_entry_of_the_page_has_the_hash_of_the_page),
    cmocka_unit_test (every_type_of_field_stands_in_its_place),
    cmocka_unit_test (what_is_empty_is_not_said),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
