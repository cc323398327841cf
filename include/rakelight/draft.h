/* draft.h - a job that is being planned, before it has a file.
 *
 * Entries are applied to a job in memory as they are made, so that what comes next (a band on the
 * face just drawn) can be worked out; at the end they all go to a job file in one gesture. */
#pragma once
#include <rakelight/job.h>

typedef struct _RakeDraft RakeDraft;

RakeDraft *rake_draft_new (void);
void rake_draft_free (RakeDraft *draft);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeDraft, rake_draft_free)

/* Checks @entry and takes it over, or leaves the draft as it was with @error set; the reference is
 * taken either way. */
gboolean rake_draft_append (RakeDraft *draft, RakeEntry *entry, GError **error);

/* Takes the last @n_entries back. */
void rake_draft_take_back (RakeDraft *draft, guint n_entries);

const RakeJob *rake_draft_get_job (const RakeDraft *draft);

/* The entries in order, owned by the draft. */
GPtrArray *rake_draft_get_entries (const RakeDraft *draft);
