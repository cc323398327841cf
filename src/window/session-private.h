/* session-private.h - what session.c (the state) and session-gestures.c (what is written) share. */
#pragma once
#include "session.h"

/* The data under which the session owns its photo desk. */
#define RAKE_SESSION_PHOTO_DESK "rake-photo-desk"

struct _RakeSession
{
  GObject parent_instance;

  RakeJobFile *file;
  RakeJob *job;
  RakeJob *past;       /* what the timeline shows; NULL: now */
  guint n_shown;       /* entries in @past */
  RakeRules *ours;     /* the program's rule set */
  RakeRules *rules;    /* what the shown job is judged by */
  const RakeRulesBody *rules_of; /* the record @rules was read from */

  RakeBench bench;
  RakeId face;
  GArray *zones;       /* RakeId, in order of selecting: the last is the one in the slip */

  GHashTable *wheels;  /* compound → RakeId *, as chosen since the job was opened; NULL: none yet */

  GHashTable *judgements; /* RakeId * → Kept * */
  gboolean is_surveyed;   /* which judgements are to be made anew since the last change */
  guint64 n_shown_jobs;   /* which of them is shown: revisions count in one job */
  guint64 n_judged;
  GHashTable *gates;      /* RakeId * of the face → RakeGate * */
  guint64 revision;       /* of the live job when last announced */

  GFileMonitor *monitors[2]; /* the file and its write-ahead log */
  GArray *to_judge;          /* RakeId of zones still to be judged, the first one last */
  gboolean is_judged_anew;   /* one of them came out otherwise */
  guint64 n_told;            /* how many were judged when that was announced last */
  gboolean is_to_suggest;    /* nothing was selected yet: take the suggested zone once it is known */
  guint poll, minute, judging;
  gboolean told_unreadable;  /* said once that the file cannot be read any more */
};

/* Emits "message". */
void rake_session_say (RakeSession *self, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Emits "changed" (and "selected" when a selected zone is gone) if the live job shows something
 * else than when last announced. */
void rake_session_announce (RakeSession *self);

/* FALSE with a message while the timeline stands back or the file is read-only. */
gboolean rake_session_check_writable (RakeSession *self);

/* --- session.c */
void rake_session_emit_changed (RakeSession *self);
void rake_session_emit_selected (RakeSession *self);
void rake_session_emit_bench (RakeSession *self);

/* The time the shown job is judged at: now, or when its last entry was written. */
gint64 rake_session_get_judging_ms (RakeSession *self);

/* --- session-judging.c */
void rake_session_make_tables (RakeSession *self);

/* The shown job changed: what was judged holds only where nothing that was heard is different. */
void rake_session_doubt_judgements (RakeSession *self);

/* Another job is shown: nothing that was judged holds. */
void rake_session_drop_judgements (RakeSession *self);

/* Selects the suggested zone of the shown face when nothing is selected, as soon as it is known.
 * Returns whether it did. */
gboolean rake_session_take_suggestion (RakeSession *self);
void rake_session_take_rules (RakeSession *self);

/* Judges everything as of now, in idle time, and emits "changed" at the end if a person would see a
 * difference. */
void rake_session_judge_again (RakeSession *self);

/* --- session-gestures.c: entries that are appended together, or not at all */
GPtrArray *rake_gesture_new (void);
RakeEntry *rake_gesture_add (GPtrArray *gesture, RakeEntryKind kind); /* owned by the gesture */
gboolean rake_gesture_append (RakeSession *self, GPtrArray *gesture);

/* The part of @shape in @zone, or NULL where there is none worth speaking of. Caller unrefs. */
RakeShape *rake_gesture_clip_to_zone (const RakeShape *shape, const RakeZone *zone);
