/* bench-job.c - a small job at the bench for the window's tests. */
#include "bench-job.h"

#include <glib/gstdio.h>
#include <math.h>

#define START_MS G_GINT64_CONSTANT (1772442000000) /* 2026-03-02 09:00 UTC */
#define DAY_MS (24 * 3600 * G_GINT64_CONSTANT (1000))

static gint64 clock_ms;

static gint64
test_clock (void)
{
  return clock_ms += 1000;
}

void
bench_set_dry (Bench *bench)
{
  RakeBench set = *rake_session_get_bench (bench->session);

  set.surface = RAKE_SURFACE_DRY;
  set.wiped_with = RAKE_WIPE_DRY_CLOTH;
  set.light = RAKE_LIGHT_LAMP;
  set.lamp_deg = 90;
  set.stroke_deg = 0;
  set.paper = RAKE_PAPER_UNSAID;
  rake_session_set_bench (bench->session, &set);
}

void
bench_let_time_pass (double seconds)
{
  clock_ms += (gint64) (seconds * 1000);
}

void
bench_use_own_folders (void)
{
  g_autofree char *folder = g_dir_make_tmp ("rakelight-test-home-XXXXXX", NULL);

  g_assert (folder != NULL);
  g_setenv ("XDG_CONFIG_HOME", folder, TRUE);
  g_setenv ("XDG_STATE_HOME", folder, TRUE);
  g_setenv ("XDG_DATA_HOME", folder, TRUE);
  g_setenv ("XDG_CACHE_HOME", folder, TRUE);
}

/* --- the job --------------------------------------------------------------------------------- */

static RakeShape *
new_rectangle (double left, double right)
{
  const double points[] = { left, 0, right, 0, right, 120, left, 120 };
  g_autoptr (GError) error = NULL;
  RakeShape *shape = rake_shape_new_area (points, 4, &error);

  g_assert_no_error (error);
  return shape;
}

RakeShape *
bench_new_line (double x1, double y1, double x2, double y2)
{
  const double points[] = { x1, y1, x2, y2 };

  return rake_shape_new_line (points, 2, NULL);
}

RakeShape *
bench_new_patch (double x, double y, double radius)
{
  const double point[] = { x, y };

  return rake_shape_new_brush_stroke (point, 1, radius, NULL);
}

static RakeEntry *
new_job (void)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_JOB);

  entry->job.name = g_strdup ("Tray 3");
  entry->job.finish = RAKE_FINISH_NITROCELLULOSE;
  entry->job.sheen = RAKE_SHEEN_GLOSS;
  return entry;
}

static RakeEntry *
new_face (Bench *bench)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_FACE);

  entry->face.name = g_strdup ("Top");
  entry->face.outline = new_rectangle (0, 200);
  bench->face = entry->id;
  return entry;
}

static void
add_zone (RakeEntry *zones, RakeId *id, const char *name, double left, double right)
{
  RakeZoneSpec spec = { .id = rake_id_new (START_MS),
                        .name = g_strdup (name),
                        .shape = new_rectangle (left, right),
                        .edge_factor = NAN, .coat_factor = NAN,
                        .reserve_um = NAN };

  *id = spec.id;
  g_array_append_val (zones->zones.added, spec);
}

static RakeEntry *
new_zones (Bench *bench)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ZONES);

  entry->zones.face = bench->face;
  entry->zones.division = RAKE_DIVISION_GRID;
  g_array_append_val (entry->zones.removed, bench->face);
  add_zone (entry, &bench->left, "Left", 0, 60);
  add_zone (entry, &bench->middle, "Middle", 60, 130);
  add_zone (entry, &bench->right, "Right", 130, 200);
  return entry;
}

static RakeEntry *
new_schedule (Bench *bench)
{
  static const struct
  {
    RakeAction action;
    const char *grade;
  } steps[] = {
    { RAKE_ACTION_LEVEL, "P800" },
    { RAKE_ACTION_REFINE, "P1200" },
    { RAKE_ACTION_LAST_LOOK, NULL },
    { RAKE_ACTION_BUFF, "cut" },
  };
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_SCHEDULE);

  entry->schedule.face = bench->face;
  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      RakeStageSpec spec = { .id = rake_id_new (START_MS),
                             .action = steps[i].action,
                             .grade = g_strdup (steps[i].grade),
                             .d50_um = NAN };
      bench->stages[i] = spec.id;
      g_array_append_val (entry->schedule.stages, spec);
    }
  return entry;
}

/* Forty days ago: cured by any rule. */
static RakeEntry *
new_coat (Bench *bench)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_COAT);

  entry->coat.face = bench->face;
  entry->happened_ms = START_MS - 40 * DAY_MS;
  return entry;
}

static void
note_message (RakeSession *session, const char *sentence, Bench *bench)
{
  g_ptr_array_add (bench->messages, g_strdup (sentence));
}

static void
listen (Bench *bench)
{
  g_signal_connect (bench->session, "message", G_CALLBACK (note_message), bench);
}

int
bench_set_up (void **state)
{
  Bench *bench = g_new0 (Bench, 1);
  g_autoptr (GPtrArray) entries =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autoptr (GError) error = NULL;

  clock_ms = START_MS;
  rake_session_set_clock (test_clock);
  bench->folder = g_dir_make_tmp ("rakelight-test-XXXXXX", NULL);
  bench->path = g_build_filename (bench->folder, "tray.rakejob", NULL);
  bench->messages = g_ptr_array_new_with_free_func (g_free);
  bench->rules = rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);
  g_assert_no_error (error);
  g_ptr_array_add (entries, new_job ());
  g_ptr_array_add (entries, new_face (bench));
  g_ptr_array_add (entries, new_zones (bench));
  g_ptr_array_add (entries, new_schedule (bench));
  g_ptr_array_add (entries, new_coat (bench));
  bench->session = rake_session_create (bench->path, bench->rules,
                                        (RakeEntry *const *) entries->pdata, entries->len, &error);
  g_assert_no_error (error);
  listen (bench);
  *state = bench;
  return 0;
}

void
bench_close (Bench *bench)
{
  g_clear_object (&bench->session);
}

void
bench_reopen (Bench *bench)
{
  g_autoptr (GError) error = NULL;

  bench_close (bench);
  bench->session = rake_session_open (bench->path, bench->rules, &error);
  g_assert_no_error (error);
  listen (bench);
}

static void
remove_folder (const char *folder)
{
  g_autoptr (GDir) files = g_dir_open (folder, 0, NULL);
  const char *name;

  while (files && (name = g_dir_read_name (files)))
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_unlink (path);
    }
  g_rmdir (folder);
}

int
bench_take_down (void **state)
{
  Bench *bench = *state;

  bench_close (bench);
  rake_session_set_clock (NULL);
  rake_rules_unref (bench->rules);
  g_ptr_array_unref (bench->messages);
  remove_folder (bench->folder);
  g_free (bench->folder);
  g_free (bench->path);
  g_free (bench);
  return 0;
}

/* --- reading it ------------------------------------------------------------------------------ */

const RakeZone *
bench_get_zone (Bench *bench, RakeId zone)
{
  const RakeZone *found = rake_job_find_zone (rake_session_get_job (bench->session), zone);

  assert_non_null (found);
  return found;
}

void
bench_select (Bench *bench, RakeId zone)
{
  rake_session_select_zone (bench->session, zone, FALSE);
}

RakeVerdict
bench_get_verdict (Bench *bench, RakeId zone)
{
  return rake_session_get_judgement (bench->session, bench_get_zone (bench, zone))->verdict;
}

guint
bench_count_entries (Bench *bench)
{
  return rake_job_get_n_entries (rake_session_get_live_job (bench->session));
}

const RakeEntry *
bench_get_last (Bench *bench, guint nth_before)
{
  const RakeJob *job = rake_session_get_live_job (bench->session);

  return rake_job_get_entry (job, rake_job_get_n_entries (job) - 1 - nth_before);
}

const char *
bench_get_message (Bench *bench)
{
  return bench->messages->len > 0 ? bench->messages->pdata[bench->messages->len - 1] : "";
}

void
bench_forget_messages (Bench *bench)
{
  g_ptr_array_set_size (bench->messages, 0);
}
