/* store-support.c - job files in a folder that goes away, and entries to put into them. */
#include "store-support.h"

#include <glib/gstdio.h>
#include <math.h>
#include <sqlite3.h>
#include <string.h>

#define BEGINNING_MS G_GINT64_CONSTANT (1772323200000) /* 2026-03-01T00:00Z */

static gint64 clock_ms;

static gint64
tick (void)
{
  clock_ms += 1000;
  return clock_ms;
}

/* In memory where there is such a place: thousands of syncs cost minutes on a busy disk, and what is
 * tested (order, faults put in by hand, killed processes) is the same there. */
static char *
make_folder (void)
{
  char *folder = g_strdup ("/dev/shm/rakelight-store-XXXXXX");

  if (g_mkdtemp (folder) != NULL)
    return folder;
  g_free (folder);
  folder = g_dir_make_tmp ("rakelight-store-XXXXXX", NULL);
  assert_non_null (folder);
  return folder;
}

int
shop_open (void **state)
{
  Shop *shop = g_new0 (Shop, 1);

  shop->folder = make_folder ();
  shop->path = g_build_filename (shop->folder, "mandola.rakejob", NULL);
  /* The bench is remembered here and not where the person who runs the tests has theirs. */
  g_setenv ("XDG_STATE_HOME", shop->folder, TRUE);
  clock_ms = BEGINNING_MS;
  rake_job_file_set_clock (tick);
  *state = shop;
  return 0;
}

static void
delete_folder (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      if (g_file_test (path, G_FILE_TEST_IS_DIR))
        delete_folder (path);
      else
        g_unlink (path);
    }
  g_rmdir (folder);
}

int
shop_close (void **state)
{
  Shop *shop = *state;

  rake_job_file_set_clock (NULL);
  delete_folder (shop->folder);
  g_free (shop->folder);
  g_free (shop->path);
  g_free (shop);
  return 0;
}

void
assert_no_error (GError *error)
{
  if (error != NULL)
    fail_msg ("%s", error->message);
}

void
assert_error_is (GError *error, GQuark domain, int code, const char *part_of_message)
{
  if (error == NULL)
    fail_msg ("no error, though “%s” was expected", part_of_message);
  if (error->domain != domain || error->code != code)
    fail_msg ("%s error %d: %s", g_quark_to_string (error->domain), error->code, error->message);
  if (strstr (error->message, part_of_message) == NULL)
    fail_msg ("“%s” does not say “%s”", error->message, part_of_message);
}

/* --- the beginning -------------------------------------------------------------------------------- */

static RakeShape *
make_rectangle (double x_mm, double y_mm, double width_mm, double height_mm)
{
  const double corners[] = { x_mm, y_mm, x_mm + width_mm, y_mm, x_mm + width_mm, y_mm + height_mm,
                             x_mm, y_mm + height_mm };
  RakeShape *shape = rake_shape_new_area (corners, 4, NULL);

  assert_non_null (shape);
  return shape;
}

static void
add_stage (RakeEntry *schedule, RakeId id, RakeAction action, const char *grade)
{
  RakeStageSpec stage = { .id = id, .action = action, .grade = g_strdup (grade), .d50_um = NAN };

  g_array_append_val (schedule->schedule.stages, stage);
}

GPtrArray *
shop_make_beginning (Shop *shop)
{
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  RakeEntry *job = rake_entry_new (RAKE_ENTRY_JOB);
  RakeEntry *face = rake_entry_new (RAKE_ENTRY_FACE);
  RakeEntry *schedule = rake_entry_new (RAKE_ENTRY_SCHEDULE);
  RakeEntry *wheel = rake_entry_new (RAKE_ENTRY_WHEEL);

  job->job.name = g_strdup ("Octave mandola");
  face->face.name = g_strdup ("Front");
  face->face.outline = make_rectangle (0, 0, 300, 200);
  schedule->schedule.face = face->id;
  for (int i = 0; i < 2; i++)
    {
      shop->stages[i] = rake_id_new (BEGINNING_MS);
      add_stage (schedule, shop->stages[i], i == 0 ? RAKE_ACTION_LEVEL : RAKE_ACTION_BUFF,
                 i == 0 ? "P800" : "cut");
    }
  wheel->wheel.name = g_strdup ("Large wheel");
  shop->face = face->id;
  shop->wheel = wheel->id;
  g_ptr_array_add (entries, job);
  g_ptr_array_add (entries, face);
  g_ptr_array_add (entries, schedule);
  g_ptr_array_add (entries, wheel);
  return entries;
}

RakeJobFile *
shop_begin (Shop *shop, RakeJob **job)
{
  g_autoptr (GPtrArray) entries = shop_make_beginning (shop);
  g_autoptr (GError) error = NULL;
  RakeJobFile *file = rake_job_file_create (shop->path, &error);

  assert_no_error (error);
  *job = rake_job_new ();
  shop_append_all (file, *job, entries);
  return file;
}

/* --- entries -------------------------------------------------------------------------------------- */

RakeEntry *
shop_make_pass (Shop *shop)
{
  RakeEntry *pass = rake_entry_new (RAKE_ENTRY_PASS);

  pass->pass.stage = shop->stages[0];
  g_array_append_val (pass->pass.zones, shop->face);
  pass->pass.stroke_deg = 45;
  pass->pass.wiped_with = RAKE_WIPE_DRY_CLOTH;
  return pass;
}

RakeEntry *
shop_make_look (Shop *shop)
{
  RakeEntry *look = rake_entry_new (RAKE_ENTRY_LOOK);

  look->look.zone = shop->face;
  look->look.surface = RAKE_SURFACE_DRY;
  look->look.light = RAKE_LIGHT_LAMP;
  look->look.lamp_deg = 112.5;
  return look;
}

RakeEntry *
shop_make_mark (Shop *shop, RakeId look, double x_mm, double y_mm)
{
  const double points[] = { x_mm, y_mm, x_mm + 4.125, y_mm + 1.001, x_mm + 9, y_mm + 3 };
  RakeEntry *mark = rake_entry_new (RAKE_ENTRY_MARK);

  mark->mark.look = look;
  mark->mark.mark = RAKE_MARK_LOW_SPOT;
  mark->mark.shape = rake_shape_new_brush_stroke (points, 3, 3, NULL);
  assert_non_null (mark->mark.shape);
  return mark;
}

RakeEntry *
shop_make_note (const char *text)
{
  RakeEntry *note = rake_entry_new (RAKE_ENTRY_NOTE);

  note->note.text = g_strdup (text);
  return note;
}

RakeEntry *
shop_make_strike (RakeId id)
{
  RakeEntry *strike = rake_entry_new (RAKE_ENTRY_STRIKE);

  strike->strike.entry = id;
  strike->strike.why = RAKE_STRIKE_UNDO;
  return strike;
}

/* --- every kind ----------------------------------------------------------------------------------- */

static char *
make_text (GRand *random, gsize max_length)
{
  /* What trips writers of JSON and SQL; the last has a line end, which names do not. */
  static const char *const texts[] = {
    "Lower bass", "Grünspan “ü” 漆 🪵", "it's 5\" \\ 'x'; DROP TABLE entry;--", "0", "null", "  ",
    "a line\nand\tanother",
  };
  int n_texts = max_length > 200 ? G_N_ELEMENTS (texts) : G_N_ELEMENTS (texts) - 1;

  return g_strdup (texts[g_rand_int_range (random, 0, n_texts)]);
}

static double
make_real (GRand *random, const RakeField *field)
{
  switch (g_rand_int_range (random, 0, 4))
    {
    case 0:
      return field->min;
    case 1:
      return field->max_is_open ? nextafter (field->max, field->min) : field->max;
    case 2:
      return field->min + (field->max - field->min) / 3;
    default:
      return g_rand_double_range (random, field->min, field->max);
    }
}

static RakeShape *
make_shape (GRand *random, RakeShapeKind kind)
{
  const double points[] = { g_rand_double_range (random, 1, 100), 20.0005,
                            g_rand_double_range (random, 101, 200), 1.0 / 3 };

  if (kind == 0)
    kind = (RakeShapeKind) g_rand_int_range (random, RAKE_SHAPE_POINT, RAKE_SHAPE_AREA + 1);
  if (kind == RAKE_SHAPE_POINT)
    return rake_shape_new_point (points[0], points[1], NULL);
  if (kind == RAKE_SHAPE_LINE)
    return rake_shape_new_line (points, 2, NULL);
  return rake_shape_new_brush_stroke (points, 2, 4, NULL);
}

static int
count_words (const RakeField *field)
{
  int n_words = 0;

  while (field->words[n_words + 1] != NULL)
    n_words++;
  return n_words;
}

/* Fills what is unsaid, but for ids, records and lists of ids: those must speak of something. */
static void
fill (GRand *random, RakeEntry *entry)
{
  for (const RakeField *field = rake_entry_kind_get_fields (entry->kind); field->name != NULL;
       field++)
    {
      gpointer place = (guint8 *) &entry->job + field->offset;

      if (field->type == RAKE_FIELD_TEXT && *(char **) place == NULL)
        *(char **) place = make_text (random, field->max_length);
      else if (field->type == RAKE_FIELD_REAL && isnan (*(double *) place))
        *(double *) place = make_real (random, field);
      else if (field->type == RAKE_FIELD_WORD && *(int *) place == 0)
        *(int *) place = g_rand_int_range (random, 1, count_words (field) + 1);
      else if (field->type == RAKE_FIELD_SHAPE && *(RakeShape **) place == NULL)
        *(RakeShape **) place = make_shape (random, field->shape_kind);
      else if (field->type == RAKE_FIELD_TEXTS)
        for (int i = g_rand_int_range (random, 0, 3); i > 0; i--)
          g_ptr_array_add (*(GPtrArray **) place, make_text (random, 0));
    }
}

static RakeEntry *
add (GPtrArray *entries, RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);

  g_ptr_array_add (entries, entry);
  return entry;
}

static void
add_zone (RakeEntry *zones, RakeId id, const char *name, double y_mm, RakeId first_stage)
{
  RakeZoneSpec zone = { .id = id, .name = g_strdup (name), .shape = make_rectangle (0, y_mm, 300, 100),
                        .is_edge = RAKE_ANSWER_YES, .edge_factor = 1.8, .reserve_um = 1.0 / 3, .coat_factor = 0.7,
                        .is_hard_to_reach = RAKE_ANSWER_NO,
                        .first_stage = first_stage };

  g_array_append_val (zones->zones.added, zone);
}

static void
add_what_was_seen (Shop *shop, GPtrArray *entries, RakeId zone)
{
  RakeEntry *look = add (entries, RAKE_ENTRY_LOOK);
  RakeEntry *mark = add (entries, RAKE_ENTRY_MARK);
  RakeEntry *revisit = add (entries, RAKE_ENTRY_REVISIT);
  RakeEntry *low = add (entries, RAKE_ENTRY_STATE);
  RakeEntry *scratch = add (entries, RAKE_ENTRY_STATE);
  RakeEntry *repair = add (entries, RAKE_ENTRY_REPAIR);

  look->look.zone = zone;
  mark->mark.look = revisit->revisit.look = low->state.look = scratch->state.look = look->id;
  revisit->revisit.mark = mark->id;
  revisit->revisit.outcome = RAKE_OUTCOME_STILL_THERE;
  /* Each measure belongs to one state only. */
  low->state.state = RAKE_STATE_LOW_SPOT;
  low->state.n_islands_over_limit = 3;
  low->state.scratch_mm = 0;
  scratch->state.state = RAKE_STATE_SCRATCH;
  scratch->state.low_spot_fraction = scratch->state.largest_island_mm = 0;
  scratch->state.n_islands_over_limit = 0;
  repair->repair.zone = zone;
  repair->repair.back_to_stage = shop->stages[0];
  g_array_append_val (repair->repair.marks, mark->id);
}

static void
add_what_was_done (Shop *shop, GPtrArray *entries, const RakeId zones[2])
{
  RakeEntry *coat = add (entries, RAKE_ENTRY_COAT);
  RakeEntry *begin = add (entries, RAKE_ENTRY_BEGIN_STAGE);
  RakeEntry *pass = add (entries, RAKE_ENTRY_PASS);
  RakeEntry *reading = add (entries, RAKE_ENTRY_READING);
  RakeEntry *acceptance = add (entries, RAKE_ENTRY_ACCEPTANCE);
  RakeEntry *wheel = add (entries, RAKE_ENTRY_WHEEL);
  RakeEntry *note = add (entries, RAKE_ENTRY_NOTE);

  coat->coat.face = begin->begin_stage.face = shop->face;
  begin->begin_stage.stage = pass->pass.stage = shop->stages[0];
  g_array_append_vals (pass->pass.zones, zones, 2);
  pass->pass.wheel = wheel->wheel.wheel = shop->wheel;
  reading->reading.zone = acceptance->acceptance.zone = note->note.about = zones[1];
  reading->reading.quantity = RAKE_QUANTITY_GLOSS_GU;
  reading->reading.value = 87.3;
}

static void
add_photographs (Shop *shop, GPtrArray *entries, RakeId zone)
{
  RakeEntry *photo = add (entries, RAKE_ENTRY_PHOTO);
  RakeEntry *registration = add (entries, RAKE_ENTRY_REGISTRATION);
  RakeEntry *withdrawal = add (entries, RAKE_ENTRY_WITHDRAWAL);
  const RakeEntry *pass = NULL, *mark = NULL;

  for (guint i = 0; i < entries->len; i++)
    {
      const RakeEntry *entry = entries->pdata[i];
      pass = entry->kind == RAKE_ENTRY_PASS ? entry : pass;
      mark = entry->kind == RAKE_ENTRY_MARK ? entry : mark;
    }
  photo->photo.sha256 = g_strnfill (64, 'e');
  photo->photo.face = registration->registration.face = shop->face;
  photo->photo.stage = shop->stages[0];
  g_assert (pass != NULL && mark != NULL);
  photo->photo.pass = pass->id;
  g_array_append_val (photo->photo.zones, zone);
  g_array_append_val (photo->photo.marks, mark->id);
  registration->registration.photo = withdrawal->withdrawal.photo = photo->id;
  for (int i = 0; i < 4; i++)
    {
      const RakePairSpec pair = { i % 2 * 1000.0 / 3, i / 2 * 800, i % 2 * 300, i / 2 * -200 };
      g_array_append_val (registration->registration.pairs, pair);
    }
}

static void
add_record (GPtrArray *entries, RakeId zone)
{
  RakeEntry *defect = add (entries, RAKE_ENTRY_DEFECT);
  RakeEntry *more = add (entries, RAKE_ENTRY_DEFECT);
  RakeEntry *hand_over = add (entries, RAKE_ENTRY_HAND_OVER);
  RakeEntry *claim = add (entries, RAKE_ENTRY_CLAIM);
  RakeEntry *again = add (entries, RAKE_ENTRY_CLAIM);

  for (guint i = 0; i < entries->len; i++)
    if (((const RakeEntry *) entries->pdata[i])->kind == RAKE_ENTRY_MARK)
      defect->defect.mark = ((const RakeEntry *) entries->pdata[i])->id;
  defect->defect.zone = more->defect.zone = zone;
  more->defect.defect = defect->id;
  hand_over->hand_over.distance_mm = 2000.0 / 3;
  claim->claim.about = defect->id;
  again->claim.claim = claim->id;
  /* open: what else a test does to the job is taken */
  claim->claim.decision = again->claim.decision = RAKE_DECISION_OPEN;
}

/* Fields that fill() filled but that do not go with the rest. */
static void
take_back (RakeEntry *entry)
{
  if (entry->kind == RAKE_ENTRY_RATE)
    entry->rate.n_pairs = floor (entry->rate.n_pairs);
  if (entry->kind == RAKE_ENTRY_PHOTO)
    {
      entry->photo.n_bytes = floor (entry->photo.n_bytes);
      entry->photo.width_px = floor (entry->photo.width_px);
      entry->photo.height_px = floor (entry->photo.height_px);
      entry->photo.turn = floor (entry->photo.turn);
    }
  if (entry->kind == RAKE_ENTRY_DEFECT || entry->kind == RAKE_ENTRY_CLAIM)
    {
      char **currency =
          entry->kind == RAKE_ENTRY_DEFECT ? &entry->defect.currency : &entry->claim.currency;
      g_free (*currency);
      *currency = g_strdup ("CHF");
    }
  if (entry->kind == RAKE_ENTRY_HAND_OVER)
    g_clear_pointer (&entry->hand_over.seal, g_free); /* what it is depends on all before */
  if (entry->kind == RAKE_ENTRY_REGISTRATION)
    {
      /* one that lays the face on no line, whatever the rest is */
      entry->registration.m11 = entry->registration.m22 = entry->registration.m33 = 1.0 / 3;
      entry->registration.m12 = entry->registration.m21 = 0;
      entry->registration.m31 = entry->registration.m32 = 0;
    }
  if (entry->kind != RAKE_ENTRY_STATE)
    return;
  if (entry->state.state == RAKE_STATE_LOW_SPOT)
    entry->state.scratch_mm = NAN;
  else
    entry->state.low_spot_fraction = entry->state.largest_island_mm =
        entry->state.n_islands_over_limit = NAN;
}

GPtrArray *
shop_make_every_kind (Shop *shop, GRand *random)
{
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  const RakeId parts[2] = { rake_id_new (BEGINNING_MS), rake_id_new (BEGINNING_MS) };
  RakeEntry *zones, *facts, *note, *strike;

  add (entries, RAKE_ENTRY_JOB);
  add (entries, RAKE_ENTRY_RULES);
  zones = add (entries, RAKE_ENTRY_ZONES);
  zones->zones.face = shop->face;
  zones->zones.division = RAKE_DIVISION_CUT;
  g_array_append_val (zones->zones.removed, shop->face);
  add_zone (zones, parts[0], "Upper half", 0, shop->stages[0]);
  add_zone (zones, parts[1], "Lower half", 100, RAKE_ID_NIL);
  facts = add (entries, RAKE_ENTRY_ZONE_FACTS);
  facts->zone_facts.zone = parts[0];
  facts->zone_facts.first_stage = shop->stages[0];
  add_what_was_done (shop, entries, parts);
  add (entries, RAKE_ENTRY_RATE);
  add_what_was_seen (shop, entries, parts[0]);
  add_photographs (shop, entries, parts[0]);
  add_record (entries, parts[0]);
  note = add (entries, RAKE_ENTRY_NOTE);
  strike = add (entries, RAKE_ENTRY_STRIKE);
  strike->strike.entry = note->id;
  for (guint i = 0; i < entries->len; i++)
    {
      fill (random, entries->pdata[i]);
      take_back (entries->pdata[i]);
    }
  return entries;
}

/* --- files ---------------------------------------------------------------------------------------- */

void
shop_append (RakeJobFile *file, RakeJob *job, RakeEntry *entry)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeEntry) owned = entry;

  rake_job_file_append (file, job, &owned, 1, "Ilse Brandt", &error);
  assert_no_error (error);
}

void
shop_append_all (RakeJobFile *file, RakeJob *job, GPtrArray *entries)
{
  g_autoptr (GError) error = NULL;

  rake_job_file_append (file, job, (RakeEntry *const *) entries->pdata, entries->len, "Ilse Brandt",
                        &error);
  assert_no_error (error);
}

static gboolean
add_line (const char *line, gpointer text, GError **error)
{
  g_string_append_printf (text, "%s\n", line);
  return TRUE;
}

char *
shop_export (RakeJobFile *file)
{
  g_autoptr (GError) error = NULL;
  GString *text = g_string_new (NULL);

  rake_exchange_export (file, add_line, text, &error);
  assert_no_error (error);
  return g_string_free (text, FALSE);
}

void
shop_tamper (const char *path, const char *sql)
{
  sqlite3 *db;
  char *fault = NULL;

  assert_int_equal (sqlite3_open_v2 (path, &db, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
  sqlite3_db_config (db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, NULL);
  sqlite3_db_config (db, SQLITE_DBCONFIG_ENABLE_FKEY, 0, NULL);
  sqlite3_exec (db, sql, NULL, NULL, &fault);
  if (fault != NULL)
    fail_msg ("%s: %s", sql, fault);
  sqlite3_close (db);
}

void
shop_copy (const char *from, const char *to)
{
  g_autofree char *bytes = NULL;
  gsize n_bytes;

  assert_true (g_file_get_contents (from, &bytes, &n_bytes, NULL));
  g_unlink (to); /* it would not be made shorter */
  assert_true (
      g_file_set_contents_full (to, bytes, (gssize) n_bytes, G_FILE_SET_CONTENTS_NONE, 0666, NULL));
}

gboolean
shop_verify (const char *path, GError **error)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, error);

  return file != NULL && rake_job_file_verify (file, error);
}

guint
shop_count_files (Shop *shop)
{
  g_autoptr (GDir) dir = g_dir_open (shop->folder, 0, NULL);
  g_autofree char *stem = g_path_get_basename (shop->path);
  const char *name;
  guint n_files = 0;

  while ((name = g_dir_read_name (dir)) != NULL)
    n_files += strstr (name, stem) != NULL ? 1 : 0;
  return n_files;
}
