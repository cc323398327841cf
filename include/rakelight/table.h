/* table.h - the logbook as tables for a spreadsheet: RFC 4180.
 *
 * One table has the entries of one kind, one a row, in the order of the job; struck-out and void ones
 * stay, and say so in the column "standing". A column has the name and the unit that the field has in
 * the exchange form (docs/entries.md); a zone, a face, a stage and a wheel have their names besides
 * their ids. Numbers have a point and no grouping, times are RFC 3339 with the bench's own offset.
 *
 * UTF-8, lines end in CR LF, quotes are doubled. Free text that begins with = + - @ would run as a
 * formula in a spreadsheet: it gets an apostrophe before it. */
#pragma once
#include <rakelight/job.h>

/* The names of the tables: "passes", "looks", …, closed by NULL. */
const char *const *rake_table_get_names (void);

/* The kind of entry that stands in the table, 0 when there is none of that name. */
RakeEntryKind rake_table_find_kind (const char *name);

/* The whole table with its head. Caller frees with g_free(). */
char *rake_table_write (const RakeJob *job, RakeEntryKind kind);
