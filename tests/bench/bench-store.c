/* bench-store.c - what a job file costs beside what SQLite must cost.
 *
 *   append  one gesture of one mark, kept durably; floor: one row of the same size into a bare table
 *           of a database of its own on the same disk, in the same mode, turn by turn
 *   open    a file of 20 000 entries from nothing to a job; floor: SQLite opening the same file and
 *           stepping through every row of every table in order, touching every column
 *   rebuild the same job out of its entries in memory, as a drag along the timeline does */
#include "bench.h"

#include <rakelight/job-file.h>

#include <glib/gstdio.h>
#include <math.h>
#include <sqlite3.h>

#define N_ENTRIES 20000
#define N_APPENDS 400
#define N_OPENINGS 7
#define N_REBUILDS 40

#define N_COLUMNS 6
#define N_ROWS 4
#define N_ZONES (N_COLUMNS * N_ROWS)

static RakeId zones[N_ZONES], stage_id, look_id;

/* --- the job -------------------------------------------------------------------------------------- */

static RakeEntry *
make_mark (guint i)
{
  guint zone = i / 10 % N_ZONES;
  double x_mm = (zone % N_COLUMNS) * 50 + 10 + (i % 30),
         y_mm = (zone / N_COLUMNS) * 50 + 10 + (i % 29);
  double points[48];
  RakeEntry *mark = rake_entry_new (RAKE_ENTRY_MARK);

  /* A painted patch as the brush leaves it: two dozen corners. */
  for (guint k = 0; k < 24; k++)
    {
      double radius_mm = 6 + (double) ((i + 5 * k) % 7) / 3;
      points[2 * k] = x_mm + radius_mm * cos (k * G_PI / 12);
      points[2 * k + 1] = y_mm + radius_mm * sin (k * G_PI / 12);
    }
  mark->mark.look = look_id;
  mark->mark.mark = RAKE_MARK_LOW_SPOT;
  mark->mark.shape = rake_shape_new_area (points, 24, NULL);
  bench_must (mark->mark.shape != NULL, NULL);
  return mark;
}

static RakeEntry *
make_pass (guint i)
{
  RakeEntry *pass = rake_entry_new (RAKE_ENTRY_PASS);

  pass->pass.stage = stage_id;
  g_array_append_val (pass->pass.zones, zones[i % N_ZONES]);
  pass->pass.stroke_deg = 45;
  pass->pass.wiped_with = RAKE_WIPE_DRY_CLOTH;
  return pass;
}

static RakeEntry *
make_look (guint i)
{
  RakeEntry *look = rake_entry_new (RAKE_ENTRY_LOOK);

  look->look.zone = zones[i % N_ZONES];
  look->look.surface = RAKE_SURFACE_DRY;
  look->look.wiped_with = RAKE_WIPE_DRY_CLOTH;
  look->look.light = RAKE_LIGHT_LAMP;
  look->look.lamp_deg = 112.5;
  look_id = look->id;
  return look;
}

static RakeEntry *
make_reading (guint i)
{
  RakeEntry *reading = rake_entry_new (RAKE_ENTRY_READING);

  reading->reading.zone = zones[i % N_ZONES];
  reading->reading.quantity = RAKE_QUANTITY_FILM_UM;
  reading->reading.value = 60 + (double) (i % 100) / 7;
  return reading;
}

static RakeShape *
make_rectangle (double x_mm, double y_mm, double width_mm, double height_mm)
{
  const double corners[] = { x_mm, y_mm, x_mm + width_mm, y_mm, x_mm + width_mm, y_mm + height_mm,
                             x_mm, y_mm + height_mm };

  return rake_shape_new_area (corners, 4, NULL);
}

static RakeEntry *
make_zones (RakeId face)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ZONES);

  entry->zones.face = face;
  entry->zones.division = RAKE_DIVISION_GRID;
  g_array_append_val (entry->zones.removed, face);
  for (guint i = 0; i < N_ZONES; i++)
    {
      RakeZoneSpec zone = { .id = rake_id_new (1), .name = g_strdup_printf ("Zone %u", i + 1),
                            .shape = make_rectangle ((i % N_COLUMNS) * 50, (i / N_COLUMNS) * 50, 50, 50),
                            .edge_factor = NAN, .coat_factor = NAN, .reserve_um = 40 };
      g_array_append_val (entry->zones.added, zone);
      zones[i] = zone.id;
    }
  return entry;
}

static void
add_beginning (GPtrArray *entries)
{
  RakeEntry *job = rake_entry_new (RAKE_ENTRY_JOB);
  RakeEntry *face = rake_entry_new (RAKE_ENTRY_FACE);
  RakeEntry *schedule = rake_entry_new (RAKE_ENTRY_SCHEDULE);
  RakeStageSpec stage = { .id = rake_id_new (1), .action = RAKE_ACTION_LEVEL,
                          .grade = g_strdup ("P800"), .d50_um = 21.8 };

  job->job.name = g_strdup ("Octave mandola");
  face->face.name = g_strdup ("Front");
  face->face.outline = make_rectangle (0, 0, N_COLUMNS * 50, N_ROWS * 50);
  schedule->schedule.face = face->id;
  g_array_append_val (schedule->schedule.stages, stage);
  stage_id = stage.id;
  g_ptr_array_add (entries, job);
  g_ptr_array_add (entries, face);
  g_ptr_array_add (entries, make_zones (face->id));
  g_ptr_array_add (entries, schedule);
}

/* A cycle at the bench is a pass on a zone, a look, what was seen and a reading. */
static void
make_file (const char *path)
{
  g_autoptr (GPtrArray) entries =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_create (path, &error);
  g_autoptr (RakeJob) job = rake_job_new ();

  bench_must (file != NULL, error);
  add_beginning (entries);
  for (guint i = 0; entries->len < N_ENTRIES; i++)
    g_ptr_array_add (entries, i % 10 == 0   ? make_pass (i / 10)
                              : i % 10 == 1 ? make_look (i / 10)
                              : i % 10 == 9 ? make_reading (i / 10)
                                            : make_mark (i));
  bench_must (rake_job_file_append (file, job, (RakeEntry *const *) entries->pdata, entries->len,
                                    "Ilse Brandt", &error),
              error);
}

/* --- appending ------------------------------------------------------------------------------------ */

static sqlite3 *
make_floor (const char *path, sqlite3_stmt **insert)
{
  sqlite3 *db;

  bench_must (sqlite3_open (path, &db) == SQLITE_OK, NULL);
  bench_must (sqlite3_exec (db,
                            "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;"
                            "CREATE TABLE row (id INTEGER PRIMARY KEY, bytes BLOB)",
                            NULL, NULL, NULL) == SQLITE_OK,
              NULL);
  bench_must (sqlite3_prepare_v2 (db, "INSERT INTO row (bytes) VALUES (zeroblob (?))", -1, insert,
                                  NULL) == SQLITE_OK,
              NULL);
  return db;
}

/* The bytes that a mark takes in its tables, without indexes. */
static int
count_row_bytes (const RakeEntry *mark)
{
  g_autoptr (GBytes) wkb = rake_shape_to_wkb (mark->mark.shape);

  return (int) g_bytes_get_size (wkb) + 3 * RAKE_ID_TEXT_LENGTH + 2 * 32 + RAKE_ID_TEXT_LENGTH + 60;
}

static double
append_to_floor (sqlite3 *db, sqlite3_stmt *insert, int n_bytes)
{
  double began = bench_now_ms ();

  bench_must (sqlite3_exec (db, "BEGIN IMMEDIATE", NULL, NULL, NULL) == SQLITE_OK, NULL);
  sqlite3_bind_int (insert, 1, n_bytes);
  bench_must (sqlite3_step (insert) == SQLITE_DONE, NULL);
  sqlite3_reset (insert);
  bench_must (sqlite3_exec (db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK, NULL);
  return bench_now_ms () - began;
}

static void
bench_append (const char *path, const char *floor_path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error);
  g_autoptr (RakeJob) job = NULL;
  BenchTimes *times = bench_times_new ("store: one mark appended, durably");
  sqlite3_stmt *insert;
  sqlite3 *db = make_floor (floor_path, &insert);

  bench_must (file != NULL, error);
  job = rake_job_file_load (file, &error);
  bench_must (job != NULL, error);
  for (guint i = 0; i < N_APPENDS; i++)
    {
      g_autoptr (RakeEntry) mark = make_mark (i);
      double began = bench_now_ms (), took_ms;

      bench_must (rake_job_file_append (file, job, &mark, 1, "Ilse Brandt", &error), error);
      took_ms = bench_now_ms () - began;
      bench_times_add (times, took_ms, append_to_floor (db, insert, count_row_bytes (mark)));
    }
  bench_times_tell (times);
  sqlite3_finalize (insert);
  sqlite3_close (db);
}

/* --- opening -------------------------------------------------------------------------------------- */

static guint64
touch_table (sqlite3 *db, const char *table)
{
  g_autofree char *sql = g_strdup_printf ("SELECT * FROM \"%s\" ORDER BY 1", table);
  sqlite3_stmt *row;
  guint64 n_bytes = 0;

  bench_must (sqlite3_prepare_v2 (db, sql, -1, &row, NULL) == SQLITE_OK, NULL);
  while (sqlite3_step (row) == SQLITE_ROW)
    for (int i = 0; i < sqlite3_column_count (row); i++)
      {
        if (sqlite3_column_type (row, i) == SQLITE_INTEGER)
          n_bytes += (guint64) sqlite3_column_int64 (row, i) & 1;
        else if (sqlite3_column_type (row, i) == SQLITE_FLOAT)
          n_bytes += sqlite3_column_double (row, i) > 0;
        else if (sqlite3_column_blob (row, i) != NULL)
          n_bytes += (guint64) sqlite3_column_bytes (row, i);
      }
  sqlite3_finalize (row);
  return n_bytes;
}

static double
scan (const char *path)
{
  double began = bench_now_ms ();
  sqlite3 *db;
  sqlite3_stmt *row;
  guint64 n_bytes = 0;

  bench_must (sqlite3_open_v2 (path, &db, SQLITE_OPEN_READONLY, NULL) == SQLITE_OK, NULL);
  bench_must (sqlite3_prepare_v2 (db, "SELECT name FROM sqlite_schema WHERE type = 'table'", -1,
                                  &row, NULL) == SQLITE_OK,
              NULL);
  while (sqlite3_step (row) == SQLITE_ROW)
    n_bytes += touch_table (db, (const char *) sqlite3_column_text (row, 0));
  sqlite3_finalize (row);
  sqlite3_close (db);
  bench_must (n_bytes > N_ENTRIES, NULL);
  return bench_now_ms () - began;
}

static void
bench_open (const char *path)
{
  BenchTimes *opened = bench_times_new ("store: 20000 entries opened, checked and built"),
             *checked = bench_times_new ("store: of that, until the file is checked");

  for (guint i = 0; i < N_OPENINGS; i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeJobFile) file = NULL;
      g_autoptr (RakeJob) job = NULL;
      double began = bench_now_ms (), open_at, built_at;

      file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, &error);
      bench_must (file != NULL, error);
      open_at = bench_now_ms ();
      job = rake_job_file_load (file, &error);
      bench_must (job != NULL, error);
      bench_must (rake_job_get_n_entries (job) == N_ENTRIES, NULL);
      built_at = bench_now_ms ();
      g_clear_pointer (&job, rake_job_free);
      g_clear_pointer (&file, rake_job_file_close);
      bench_times_add (opened, built_at - began, scan (path));
      bench_times_add (checked, open_at - began, 0);
    }
  bench_times_tell (opened);
  bench_times_tell (checked);
}

/* --- rebuilding ----------------------------------------------------------------------------------- */

static void
bench_rebuild (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, &error);
  g_autoptr (RakeJob) job = NULL;
  BenchTimes *times = bench_times_new ("store: the same job built again from memory");

  bench_must (file != NULL, error);
  job = rake_job_file_load (file, &error);
  bench_must (job != NULL, error);
  for (guint i = 0; i < N_REBUILDS; i++)
    {
      double began = bench_now_ms ();
      g_autoptr (RakeJob) until = rake_job_new_until (job, N_ENTRIES);

      bench_times_add (times, bench_now_ms () - began, 0);
      bench_must (rake_job_get_n_entries (until) == N_ENTRIES, NULL);
    }
  bench_times_tell (times);
}

int
main (void)
{
  g_autofree char *folder = g_dir_make_tmp ("rakelight-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "bench.rakejob", NULL);
  g_autofree char *floor_path = g_build_filename (folder, "floor.db", NULL);
  GStatBuf size;

  g_setenv ("XDG_STATE_HOME", folder, TRUE);
  make_file (path);
  g_stat (path, &size);
  g_print ("%d entries, %.1f MB\n", N_ENTRIES, (double) size.st_size / 1e6);
  bench_open (path);
  bench_rebuild (path);
  bench_append (path, floor_path);
  g_unlink (path);
  g_unlink (floor_path);
  {
    g_autofree char *state = g_build_filename (folder, "rakelight", NULL);
    g_autofree char *bench = g_build_filename (state, "bench", NULL);
    g_unlink (bench);
    g_rmdir (state);
  }
  g_rmdir (folder);
  return 0;
}
