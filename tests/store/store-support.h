/* store-support.h - job files in a folder that goes away, and entries to put into them. */
#pragma once
#include <rakelight/exchange.h>
#include <rakelight/job-file.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

typedef struct
{
  char *folder;
  char *path; /* of a job file in it that is not there yet */
  RakeId face, stages[2], wheel; /* of the job that was begun last */
} Shop;

/* For cmocka's setup and teardown: *state is a Shop. The clock stands at 2026-03-01 and goes on one
 * second with every reading. */
int shop_open (void **state);
int shop_close (void **state);

/* Fails the test with the error's message. */
void assert_no_error (GError *error);
void assert_error_is (GError *error, GQuark domain, int code, const char *part_of_message);

/* The entries with which every test's job begins: job, face, schedule, wheel. */
GPtrArray *shop_make_beginning (Shop *shop);

/* A new job file with that beginning in it, open. */
RakeJobFile *shop_begin (Shop *shop, RakeJob **job);

/* One of each kind that can follow the beginning, every field that can be filled being filled with
 * values that @random gives. */
GPtrArray *shop_make_every_kind (Shop *shop, GRand *random);

RakeEntry *shop_make_pass (Shop *shop);
RakeEntry *shop_make_look (Shop *shop);
RakeEntry *shop_make_mark (Shop *shop, RakeId look, double x_mm, double y_mm);
RakeEntry *shop_make_note (const char *text);
RakeEntry *shop_make_strike (RakeId entry);

void shop_append (RakeJobFile *file, RakeJob *job, RakeEntry *entry);
void shop_append_all (RakeJobFile *file, RakeJob *job, GPtrArray *entries);

/* The whole export, a line for each entry. Caller frees. */
char *shop_export (RakeJobFile *file);

/* Runs SQL on a file behind the program's back, with triggers and references
 * switched off; the schema stays as it is. */
void shop_tamper (const char *path, const char *sql);

/* Copies a file that nobody has open. */
void shop_copy (const char *from, const char *to);

/* Opens, verifies, closes. */
gboolean shop_verify (const char *path, GError **error);

/* How many files there are whose names hold the job file's. */
guint shop_count_files (Shop *shop);
