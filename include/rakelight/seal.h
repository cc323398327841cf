/* seal.h - the logbook's fingerprint, and what a fingerprint tells of a logbook.
 *
 * The seal is the SHA-256 of one line "BENCH NUMBER HASH\n" for the last entry of each bench, sorted by
 * bench. The entries before are held by the chain of hashes: docs/logbook.md. */
#pragma once
#include <rakelight/job.h>

/* The seal of the first @n_entries entries in the job's order, 64 hexadecimal digits. Caller frees. */
char *rake_seal_take (const RakeJob *job, guint n_entries);

/* After which of its entries, in the job's order, the job had @seal (either case).
 *
 * n_entries  out: so many entries it then had
 * returns    FALSE when it never had it: another job, an altered one, a slip in copying the seal, or
 *            entries of another bench that came in later but had been written before */
gboolean rake_seal_find (const RakeJob *job, const char *seal, guint *n_entries);

typedef enum
{
  RAKE_SEAL_SAME,
  RAKE_SEAL_ADDED,   /* all that the copy has, and more: @index is the first entry of the job it lacks */
  RAKE_SEAL_MISSING, /* @index is the first entry of the copy that the job lacks */
  RAKE_SEAL_DIFFERS, /* @index is the first entry of the copy that is another one in the job */
} RakeSealDifference;

/* Holds @job against a copy that is known to be good, entry by entry, by bench, number and hash. Two
 * entries with the same hash are the same to the letter. */
RakeSealDifference rake_seal_compare (const RakeJob *job, const RakeJob *copy, guint *index);
