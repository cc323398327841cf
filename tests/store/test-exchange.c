/* test-exchange.c - a job goes out as text and comes back the same; what is wrong in a text is
 * refused with its place, and nothing of it is kept. */
#include "store-support.h"

#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>

/* The same text of two files is the same job, and so is the seal. */
static void
assert_same_job (RakeJobFile *one, RakeJobFile *other)
{
  g_autofree char *text = shop_export (one), *other_text = shop_export (other);
  g_autofree char *seal = rake_job_file_get_seal (one, NULL);
  g_autofree char *other_seal = rake_job_file_get_seal (other, NULL);

  assert_string_equal (text, other_text);
  assert_string_equal (seal, other_seal);
}

static RakeJobFile *
create (Shop *shop, const char *name, RakeJob **job)
{
  g_autofree char *path = g_build_filename (shop->folder, name, NULL);
  g_autoptr (GError) error = NULL;
  RakeJobFile *file = rake_job_file_create (path, &error);

  assert_no_error (error);
  *job = rake_job_new ();
  return file;
}

static int
import (RakeJobFile *file, RakeJob *job, const char *text)
{
  g_autoptr (GError) error = NULL;
  int n_added = rake_exchange_import (file, job, text, strlen (text), &error);

  assert_no_error (error);
  return n_added;
}

static void
every_kind_goes_out_and_comes_back_with_its_seal (void **state)
{
  Shop *shop = *state;

  for (guint32 seed = 100; seed < 110; seed++)
    {
      g_autoptr (RakeJob) job = NULL;
      g_autoptr (RakeJob) other_job = NULL;
      g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
      g_autoptr (RakeJobFile) other = create (shop, "other.rakejob", &other_job);
      g_autoptr (GRand) random = g_rand_new_with_seed (seed);
      g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);
      g_autoptr (GError) error = NULL;
      g_autofree char *text = NULL;

      shop_append_all (file, job, entries);
      text = shop_export (file);
      assert_int_equal (import (other, other_job, text), rake_job_get_n_entries (job));
      assert_same_job (file, other);
      /* Again is nothing new. */
      assert_int_equal (import (other, other_job, text), 0);
      rake_job_file_verify (other, &error);
      assert_no_error (error);
      g_unlink (rake_job_file_get_path (file));
      g_unlink (rake_job_file_get_path (other));
    }
}

/* --- drafts --------------------------------------------------------------------------------------- */

#define FRONT "POLYGON ((0 0, 300 0, 300 200, 0 200, 0 0))"
#define UPPER "POLYGON ((0 0, 300 0, 300 100, 0 100, 0 0))"
#define LOWER "POLYGON ((0 100, 300 100, 300 200, 0 200, 0 100))"

static const char draft[] =
    "{\"kind\":\"job\",\"id\":\"@job\",\"name\":\"Writing "
    "box\",\"written\":\"2026-03-02T09:00:00Z\"}\n"
    "\n"
    "{\"kind\":\"face\",\"id\":\"@front\",\"name\":\"Lid\",\"outline\":\"" FRONT "\"}\r\n"
    "{\"kind\":\"schedule\",\"face\":\"@front\",\"stages\":[{\"id\":\"@p800\",\"action\":\"level\","
    "\"grade\":\"P800\"}],\"written\":\"2026-03-02T08:00:00+01:00\",\"who\":\"Jan\"}\n"
    "{\"kind\":\"zones\",\"face\":\"@front\",\"division\":\"cut\",\"removed\":[\"@front\"],"
    "\"added\":["
    "{\"id\":\"@upper\",\"name\":\"Upper\",\"shape\":\"" UPPER "\"},"
    "{\"id\":\"@lower\",\"name\":\"Lower\",\"shape\":\"" LOWER "\",\"reserve_um\":40}]}\n"
    "{\"kind\":\"pass\",\"stage\":\"@p800\",\"zones\":[\"@upper\",\"@lower\"],\"stroke_deg\":45,"
    "\"written\":\"2026-04-01T10:00:00.250+02:00\",\"happened\":\"2026-03-31T17:00:00+02:00\"}";

static void
a_draft_is_given_heads_and_its_names_are_ids (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = create (shop, "draft.rakejob", &job);
  g_autoptr (GError) error = NULL;
  const RakeEntry *entry;
  RakeId space = rake_id_new_for_name (RAKE_ID_NIL, "Writing box");

  assert_int_equal (import (file, job, draft), 5);
  entry = rake_job_get_entry (job, 0);
  assert_true (rake_id_equal (entry->id, rake_id_new_for_name (space, "job")));
  assert_int_equal (entry->number, 1);
  assert_int_equal (entry->written_ms, G_GINT64_CONSTANT (1772442000000)); /* date -u -d … +%s */
  /* Without a time: the clock's, but the file has gone further. */
  assert_int_equal (rake_job_get_entry (job, 1)->written_ms, entry->written_ms + 1);
  assert_true (
      rake_id_equal (rake_job_get_face (job, 0)->id, rake_id_new_for_name (space, "front")));
  /* 08:00 at +01:00 is 07:00Z, before what is there. */
  entry = rake_job_get_entry (job, 2);
  assert_int_equal (entry->written_ms, rake_job_get_entry (job, 0)->written_ms + 2);
  assert_int_equal (entry->utc_offset_minutes, 60);
  assert_string_equal (entry->who, "Jan");
  entry = rake_job_get_entry (job, 4);
  assert_int_equal (entry->written_ms, G_GINT64_CONSTANT (1775030400250));
  assert_int_equal (entry->happened_ms, G_GINT64_CONSTANT (1774969200000));
  assert_non_null (rake_job_find_zone (job, rake_id_new_for_name (space, "lower")));
  rake_job_file_verify (file, &error);
  assert_no_error (error);
}

static void
names_mean_the_same_in_a_later_import (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = create (shop, "draft.rakejob", &job);

  import (file, job, draft);
  import (file, job, "{\"kind\":\"job\",\"name\":\"Writing box of oak\"}");
  import (file, job,
          "{\"kind\":\"look\",\"id\":\"@look\",\"zone\":\"@upper\",\"surface\":\"dry\","
          "\"light\":\"lamp\",\"lamp_deg\":0}\n");
  import (file, job, "{\"kind\":\"state\",\"look\":\"@look\",\"state\":\"uniform\"}\n");
  assert_int_equal (rake_job_get_n_entries (job), 8);
  assert_string_equal (rake_job_find_facts (job)->name, "Writing box of oak");
}

static void
a_job_with_an_id_of_its_own_is_the_space_of_its_names (void **state)
{
  static const char *const text =
      "{\"kind\":\"job\",\"id\":\"017f22e2-79b0-7cc3-98c4-dc0c0c07398f\",\"name\":\"Box\"}\n"
      "{\"kind\":\"face\",\"id\":\"@front\",\"name\":\"Lid\",\"outline\":\"" FRONT "\"}\n";
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = create (shop, "draft.rakejob", &job);
  RakeId space;

  import (file, job, text);
  rake_id_from_text ("017f22e2-79b0-7cc3-98c4-dc0c0c07398f", &space);
  assert_true (
      rake_id_equal (rake_job_get_face (job, 0)->id, rake_id_new_for_name (space, "front")));
}

/* --- someone else's arithmetic -------------------------------------------------------------------- */

static gboolean
stranger_agrees (Shop *shop, const char *text, const char *seal)
{
  g_autofree char *path = g_build_filename (shop->folder, "export.jsonl", NULL);
  const char *argv[] = { g_getenv ("RAKE_CHECK_CHAIN"), path, seal, NULL };
  g_autoptr (GError) error = NULL;
  int status = -1;

  assert_non_null (argv[0]);
  g_file_set_contents (path, text, -1, NULL);
  g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL,
                NULL, NULL, NULL, NULL, &status, &error);
  assert_no_error (error);
  return status == 0;
}

/* check-chain.py is written from docs/entries.md, in another language, with another JSON reader and
 * another SHA-256. */
static void
hashes_and_seal_are_what_a_stranger_computes (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (GRand) random = g_rand_new_with_seed (77);
  g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);
  g_autofree char *text = NULL, *seal = NULL;

  shop_append_all (file, job, entries);
  rake_job_file_set_bench (file, rake_id_new (3));
  shop_append (file, job, shop_make_note ("at another bench"));
  text = shop_export (file);
  seal = rake_job_file_get_seal (file, NULL);
  assert_true (stranger_agrees (shop, text, seal));
  /* The stranger does look. */
  {
    g_autofree char *shorter = g_strndup (text, (gsize) (strrchr (text, '{') - text));
    g_auto (GStrv) parts = g_strsplit (text, "Ilse", 2);
    g_autofree char *changed = g_strjoinv ("Else", parts);
    assert_false (stranger_agrees (shop, shorter, seal));
    assert_false (stranger_agrees (shop, changed, seal));
  }
}

/* --- locales -------------------------------------------------------------------------------------- */

/* A locale that writes 0,5. Where the system has none, one is made from its sources. */
static gboolean
enter_comma_locale (Shop *shop)
{
  g_autofree char *path = g_build_filename (shop->folder, "de_DE.UTF-8", NULL);
  const char *argv[] = { "localedef", "-i", "de_DE", "-f", "UTF-8", path, NULL };

  if (setlocale (LC_ALL, "de_DE.UTF-8") != NULL)
    return TRUE;
  if (!g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_STDERR_TO_DEV_NULL,
                     NULL, NULL, NULL, NULL, NULL, NULL))
    return FALSE;
  g_setenv ("LOCPATH", shop->folder, TRUE);
  return setlocale (LC_ALL, "de_DE.UTF-8") != NULL;
}

static void
a_locale_with_commas_changes_nothing (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJob) other_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeJobFile) other = create (shop, "other.rakejob", &other_job);
  g_autoptr (GRand) random = g_rand_new_with_seed (4);
  g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);
  g_autofree char *text = NULL, *text_with_commas = NULL;
  g_autoptr (GError) error = NULL;
  char half[8];

  shop_append_all (file, job, entries);
  text = shop_export (file);
  if (!enter_comma_locale (shop))
    skip ();
  g_snprintf (half, sizeof half, "%.1f", 0.5);
  assert_string_equal (half, "0,5");
  text_with_commas = shop_export (file);
  import (other, other_job, text);
  rake_job_file_verify (other, &error);
  setlocale (LC_ALL, "C");
  assert_no_error (error);
  assert_string_equal (text, text_with_commas);
  assert_same_job (file, other);
}

/* --- what is wrong -------------------------------------------------------------------------------- */

#define HEAD "\"bench\":\"017f22e2-79b0-7cc3-98c4-dc0c0c07398f\",\"number\":1,"
#define ZEROS "0000000000000000000000000000000000000000000000000000000000000000"

static void
a_wrong_line_is_named_and_nothing_is_kept (void **state)
{
  /* Each is put after two good lines (a note and a blank one), so it is line 3. */
  static const struct { const char *line, *says; } cases[] = {
    { "{\"kind\":\"pass\"", "line 3, column" },
    { "[]", "line 3, column 1: is not an entry" },
    { "{\"kind\":\"note\",\"text\":\"a\",\"text\":\"b\"}", "duplicate" },
    { "{\"kind\":\"note\",\"text\":\"a\"} {}", "line 3, column" },
    { "{\"kind\":\"note\",\"text\":\"\\u0000\"}", "line 3, column" },
    { "{\"kind\":\"note\",\"text\":\"\xff\"}", "line 3, column" },
    { "{\"kind\":\"note\",\"text\":\"a\tb\"}", "line 3, column" },
    { "{\"kind\":\"reading\",\"zone\":\"@front\",\"quantity\":\"film um\",\"value\":1e999}", "line 3, column" },
    { "{\"kind\":\"reading\",\"zone\":\"@front\",\"quantity\":\"film um\",\"value\":NaN}", "line 3, column" },
    { "{\"kind\":\"reading\",\"zone\":\"@front\",\"quantity\":\"film um\",\"value\":\"61\"}",
      "line 3, value: is not a number" },
    { "{\"kind\":\"reading\",\"zone\":\"@front\",\"quantity\":\"film um\",\"value\":null}",
      "line 3, value: is not a number" },
    { "{\"kind\":\"reading\",\"zone\":\"@front\",\"quantity\":\"film um\"}", "line 3, value: is missing" },
    { "{\"kind\":\"reading\",\"zone\":\"@front\",\"quantity\":\"thickness\",\"value\":61}",
      "line 3, quantity: is “thickness”; it may be “film um”, “gloss gu”" },
    { "{\"kind\":\"reading\",\"zone\":7,\"quantity\":\"film um\",\"value\":61}",
      "line 3, zone: is not a text" },
    { "{\"kind\":\"reading\",\"zone\":\"front\",\"quantity\":\"film um\",\"value\":61}",
      "line 3, zone: “front” is not an id" },
    { "{\"kind\":\"reading\",\"zone\":\"@\",\"quantity\":\"film um\",\"value\":61}", "line 3, zone: is a name" },
    { "{\"kind\":\"reading\",\"zone\":\"@back\",\"quantity\":\"film um\",\"value\":61}", "line 3: zone is" },
    { "{\"kind\":\"look\",\"zone\":\"@front\",\"surface\":\"dry\",\"light\":\"lamp\",\"lamp_deg\":400}",
      "line 3, lamp_deg: is 400; a direction is 0 to less than 360" },
    { "{\"kind\":\"look\",\"zone\":\"@front\",\"surface\":\"dry\",\"light\":\"lamp\",\"lamp\":4}",
      "line 3, lamp: there is no such field" },
    { "{\"kind\":\"sanding\",\"zone\":\"@front\"}", "line 3, kind: “sanding” is no kind of entry" },
    { "{\"zone\":\"@front\"}", "line 3, kind: is missing" },
    { "{\"kind\":\"face\",\"name\":\"Back\",\"outline\":\"POLYGON ((0 0, 1 nan, 1 1, 0 0))\"}",
      "line 3, outline: " },
    { "{\"kind\":\"face\",\"name\":\"Back\",\"outline\":\"POINT (0 0)\"}", "line 3, outline: is not an area" },
    { "{\"kind\":\"zones\",\"face\":\"@front\",\"division\":\"cut\",\"removed\":[\"@front\"],\"added\":["
      "{\"id\":\"@a\",\"name\":\"A\",\"shape\":\"" UPPER "\"},{\"id\":\"@b\",\"shape\":\"" LOWER "\"}]}",
      "line 3, added 2: name is missing" },
    { "{\"kind\":\"zones\",\"face\":\"@front\",\"division\":\"cut\",\"removed\":[\"@front\"],\"added\":["
      "{\"id\":\"@a\",\"name\":\"A\",\"shape\":\"" UPPER "\",\"hue\":1},{\"id\":\"@b\",\"name\":\"B\","
      "\"shape\":\"" LOWER "\"}]}", "line 3, added 1, hue: there is no such field" },
    /* As much area as before, but one zone lies on the other. */
    { "{\"kind\":\"zones\",\"face\":\"@front\",\"division\":\"cut\",\"removed\":[\"@front\"],\"added\":["
      "{\"id\":\"@a\",\"name\":\"A\",\"shape\":\"" UPPER "\"},{\"id\":\"@b\",\"name\":\"B\","
      "\"shape\":\"" UPPER "\"}]}", "line 3: " },
    { "{\"kind\":\"zones\",\"face\":\"@front\",\"division\":\"cut\",\"removed\":\"@front\",\"added\":[]}",
      "line 3, removed: is not a list" },
    { "{\"kind\":\"note\",\"text\":\"a\",\"written\":\"yesterday\"}", "line 3, written: “yesterday” is not a time" },
    { "{\"kind\":\"note\",\"text\":\"a\",\"written\":1}", "line 3, written: is not a text" },
    { "{\"kind\":\"note\",\"text\":\"a\",\"written\":\"2026-02-30T10:00:00Z\"}", "line 3, written: " },
    { "{\"kind\":\"note\",\"text\":\"a\"," HEAD "\"hash\":\"" ZEROS "\"}", "line 3, previous: is missing" },
    { "{\"kind\":\"note\",\"id\":\"@n\",\"text\":\"a\",\"written\":\"2026-05-02T10:00:00Z\"," HEAD
      "\"previous\":\"" ZEROS "\",\"hash\":\"" ZEROS "\"}", "line 3, id: is a name" },
    { "{\"kind\":\"note\",\"id\":\"017f22e2-79b0-7cc3-98c4-dc0c0c07398e\",\"text\":\"a\","
      "\"written\":\"2026-05-02T10:00:00Z\"," HEAD "\"previous\":\"" ZEROS "\",\"hash\":\"" ZEROS "\"}",
      "line 3: hash: the entry is not what was sealed" },
    { "{\"kind\":\"note\",\"id\":\"017f22e2-79b0-7cc3-98c4-dc0c0c07398e\",\"text\":\"a\","
      "\"written\":\"2026-05-02T10:00:00Z\"," HEAD "\"previous\":\"0\",\"hash\":\"" ZEROS "\"}",
      "line 3, previous: is not a hash" },
    { "{\"kind\":\"note\",\"id\":\"@front\",\"text\":\"a\"}", "line 3: id is taken" },
  };
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = create (shop, "draft.rakejob", &job);
  g_autofree char *before = NULL, *dump_before = NULL;

  import (file, job,
          "{\"kind\":\"job\",\"name\":\"Box\"}\n"
          "{\"kind\":\"face\",\"id\":\"@front\",\"name\":\"Lid\",\"outline\":\"" FRONT "\"}\n");
  before = shop_export (file);
  dump_before = rake_job_dump (job);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text =
          g_strconcat ("{\"kind\":\"note\",\"text\":\"good\"}\n\n", cases[i].line, "\n", NULL);
      g_autofree char *after = NULL, *dump_after = NULL;
      g_autoptr (GError) error = NULL;

      if (rake_exchange_import (file, job, text, strlen (text), &error) >= 0)
        fail_msg ("taken: %s", cases[i].line);
      if (strstr (error->message, cases[i].says) == NULL)
        fail_msg ("%s\n“%s” does not say “%s”", cases[i].line, error->message, cases[i].says);
      after = shop_export (file);
      dump_after = rake_job_dump (job);
      assert_string_equal (before, after);
      assert_string_equal (dump_before, dump_after);
    }
}

static void
mangle (GString *text, GRand *random)
{
  gssize at = g_rand_int_range (random, 0, (gint32) text->len - 10);

  switch (g_rand_int_range (random, 0, 3))
    {
    case 0:
      text->str[at] = (char) g_rand_int_range (random, 1, 256);
      break;
    case 1:
      g_string_erase (text, at, g_rand_int_range (random, 1, 10));
      break;
    default:
      {
        g_autofree char *piece =
            g_strndup (text->str + g_rand_int_range (random, 0, (gint32) at + 1), 8);
        g_string_insert (text, at, piece);
      }
    }
}

/* Letters changed, dropped and doubled at random in a good draft: it is refused with a place and
 * nothing of it is kept, or it was still a job, which then verifies. */
static void
mangled_drafts_are_refused_or_make_a_job (void **state)
{
  Shop *shop = *state;
  g_autoptr (GRand) random = g_rand_new_with_seed (20260302);
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = create (shop, "mangled.rakejob", &job);
  guint n_refused = 0;

  for (guint trial = 0; trial < 1500; trial++)
    {
      g_autoptr (GString) text = g_string_new (draft);
      g_autoptr (GError) error = NULL;

      for (int i = g_rand_int_range (random, 1, 4); i > 0; i--)
        mangle (text, random);
      if (rake_exchange_import (file, job, text->str, text->len, &error) < 0)
        {
          n_refused++;
          if (!g_str_has_prefix (error->message, "line "))
            fail_msg ("%s\n%s", text->str, error->message);
          assert_int_equal (rake_job_get_n_entries (job), 0);
          continue;
        }
      if (!rake_job_file_verify (file, &error))
        fail_msg ("%s\n%s", text->str, error->message);
      /* An empty file again for the next. */
      g_unlink (rake_job_file_get_path (file));
      g_clear_pointer (&file, rake_job_file_close);
      g_clear_pointer (&job, rake_job_free);
      file = create (shop, "mangled.rakejob", &job);
    }
  if (n_refused < 1000 || n_refused == 1500)
    fail_msg ("%u of 1500 were refused", n_refused);
}

static void
a_changed_sealed_line_is_not_taken (void **state)
{
  /* One letter or digit of an exported line each. */
  static const char *const changes[][2] = {
    { "\"stroke_deg\":45", "\"stroke_deg\":46" },
    { "Ilse Brandt", "Ilse Brandl" },
    { "\"number\":5", "\"number\":6" },
    { "+00:00\",\"who\"", "+01:00\",\"who\"" },
    { "dry cloth", "damp cloth" },
    { ",\"wiped_with\":\"dry cloth\"", "" },
  };
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autofree char *text = NULL;
  RakeEntry *pass = shop_make_pass (shop);

  pass->utc_offset_minutes = 0;
  shop_append (file, job, pass);
  text = shop_export (file);
  for (gsize i = 0; i < G_N_ELEMENTS (changes); i++)
    {
      g_autoptr (RakeJob) other_job = NULL;
      g_autoptr (RakeJobFile) other = create (shop, "other.rakejob", &other_job);
      const char *last_line = g_strrstr_len (text, (gssize) strlen (text) - 1, "\n") + 1;
      g_autoptr (GString) line = g_string_new (last_line);
      g_autofree char *changed = NULL;
      g_autoptr (GError) error = NULL;

      if (g_string_replace (line, changes[i][0], changes[i][1], 1) != 1)
        fail_msg ("%s has no %s", line->str, changes[i][0]);
      changed = g_strdup_printf ("%.*s%s", (int) (last_line - text), text, line->str);
      if (rake_exchange_import (other, other_job, changed, strlen (changed), &error) >= 0)
        fail_msg ("%s was taken for %s", changes[i][1], changes[i][0]);
      assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, "line 5: hash");
      assert_int_equal (rake_job_get_n_entries (other_job), 0);
      g_clear_pointer (&other, rake_job_file_close);
      {
        g_autofree char *path = g_build_filename (shop->folder, "other.rakejob", NULL);
        g_unlink (path);
      }
    }
}

static void
a_missing_line_is_noticed (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJob) other_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeJobFile) other = create (shop, "other.rakejob", &other_job);
  g_autofree char *text = NULL, *without = NULL;
  g_auto (GStrv) lines = NULL;
  g_autoptr (GError) error = NULL;

  shop_append (file, job, shop_make_note ("one"));
  shop_append (file, job, shop_make_note ("two"));
  text = shop_export (file);
  lines = g_strsplit (text, "\n", -1);
  lines[4][0] = '\0'; /* the note "one"; the blank line keeps the count */
  without = g_strjoinv ("\n", lines);
  assert_int_equal (rake_exchange_import (other, other_job, without, strlen (without), &error), -1);
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
                   "line 6: number 6 of bench");
}

/* --- merging -------------------------------------------------------------------------------------- */

static void
copy_file (Shop *shop, RakeJobFile **file, const char *name)
{
  g_autofree char *to = g_build_filename (shop->folder, name, NULL);
  g_autofree char *bytes = NULL;
  gsize n_bytes;

  g_clear_pointer (file, rake_job_file_close);
  assert_true (g_file_get_contents (shop->path, &bytes, &n_bytes, NULL));
  assert_true (g_file_set_contents (to, bytes, (gssize) n_bytes, NULL));
  *file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, NULL);
}

static RakeJobFile *
open_beside (Shop *shop, const char *name, RakeJob **job)
{
  g_autofree char *path = g_build_filename (shop->folder, name, NULL);
  RakeJobFile *file = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, NULL);

  assert_non_null (file);
  *job = rake_job_file_load (file, NULL);
  return file;
}

static void
two_benches_merge_to_one_job_from_either_side (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJob) other_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeJobFile) other = NULL;
  g_autoptr (GError) error = NULL;

  copy_file (shop, &file, "other.rakejob");
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, NULL);
  other = open_beside (shop, "other.rakejob", &other_job);
  rake_job_file_set_bench (other, rake_id_new (7));
  for (int i = 0; i < 6; i++)
    {
      shop_append (file, job, shop_make_pass (shop));
      shop_append (other, other_job, shop_make_look (shop));
    }
  assert_int_equal (rake_exchange_merge (file, job, other, &error), 6);
  assert_no_error (error);
  assert_int_equal (rake_exchange_merge (other, other_job, file, &error), 6);
  assert_no_error (error);
  assert_same_job (file, other);
  {
    g_autoptr (RakeJob) anew = rake_job_file_load (other, &error);
    g_autofree char *one = rake_job_dump (job), *two = rake_job_dump (other_job);
    g_autofree char *three = rake_job_dump (anew);
    assert_string_equal (one, two);
    assert_string_equal (one, three);
  }
  assert_int_equal (rake_exchange_merge (file, job, other, &error), 0);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
  rake_job_file_verify (other, &error);
  assert_no_error (error);
}

static void
copies_written_in_apart_at_one_bench_are_refused (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJob) other_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeJobFile) other = NULL;
  g_autoptr (GError) error = NULL;

  copy_file (shop, &file, "other.rakejob");
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, NULL);
  other = open_beside (shop, "other.rakejob", &other_job);
  shop_append (file, job, shop_make_note ("here"));
  shop_append (other, other_job, shop_make_note ("there"));
  assert_int_equal (rake_exchange_merge (file, job, other, &error), -1);
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, "apart at one bench");
  assert_int_equal (rake_job_get_n_entries (job), 5);
}

static void
two_jobs_are_not_merged (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJob) other_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeJobFile) other = create (shop, "box.rakejob", &other_job);
  g_autoptr (GError) error = NULL;

  rake_job_file_set_bench (other, rake_id_new (7));
  import (other, other_job, "{\"kind\":\"job\",\"name\":\"Box\"}");
  assert_int_equal (rake_exchange_merge (file, job, other, &error), -1);
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, "two jobs");
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (every_kind_goes_out_and_comes_back_with_its_seal),
    TEST (a_draft_is_given_heads_and_its_names_are_ids),
    TEST (names_mean_the_same_in_a_later_import),
    TEST (a_job_with_an_id_of_its_own_is_the_space_of_its_names),
    TEST (a_locale_with_commas_changes_nothing),
    TEST (hashes_and_seal_are_what_a_stranger_computes),
    TEST (a_wrong_line_is_named_and_nothing_is_kept),
    TEST (mangled_drafts_are_refused_or_make_a_job),
    TEST (a_changed_sealed_line_is_not_taken),
    TEST (a_missing_line_is_noticed),
    TEST (two_benches_merge_to_one_job_from_either_side),
    TEST (copies_written_in_apart_at_one_bench_are_refused),
    TEST (two_jobs_are_not_merged),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
