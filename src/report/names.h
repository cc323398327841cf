/* names.h - what the ids of a job are called, also those of zones cut since and of what was struck out.
 * Private to src/report. */
#pragma once
#include <rakelight/job.h>

typedef struct _RakeNames RakeNames;

/* Reads every entry of @job, which must outlive it. Free with rake_names_free(). */
RakeNames *rake_names_new (const RakeJob *job);
void rake_names_free (RakeNames *names);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeNames, rake_names_free)

/* The name of a face, zone or wheel, the grade (or the action) of a stage; NULL for what has none. A
 * zone has the name it was given last. */
const char *rake_names_find (const RakeNames *names, RakeId id);

/* The stage's own description; NULL when @id is none. */
const RakeStageSpec *rake_names_find_stage (const RakeNames *names, RakeId id);

/* The face that a face, zone or stage belongs to; nil for what belongs to none. */
RakeId rake_names_find_face (const RakeNames *names, RakeId id);

/* The zone an entry speaks of, through its look where it has one; nil for none or several. */
RakeId rake_names_find_zone_of (const RakeNames *names, const RakeEntry *entry);

/* The face an entry speaks of, nil for none. */
RakeId rake_names_find_face_of (const RakeNames *names, const RakeEntry *entry);

/* The last correction or undoing that struck @entry out, as a strike entry; NULL when none did. */
const RakeEntry *rake_names_find_strike (const RakeNames *names, const RakeEntry *entry);
