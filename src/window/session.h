/* session.h - one job open at the bench: file, job, rules, what is selected, where the lamp stands.
 *
 * Widgets show a session and tell it what the finisher did; the session appends the entries. It is
 * the only part of the window that writes. Every change is one gesture: committed, applied, then
 * announced. Nothing here draws.
 *
 * Signals:
 *   "changed"    the job shows something else (entries added here or by another program, timeline
 *                moved, time passed); redraw what depends on judgements
 *   "selected"   another face, or other zones, are selected
 *   "bench"      lamp, surface, wipe, light, strokes or brush changed
 *   "message"    (sentence) something to tell the finisher in passing: a refusal, a warning, what
 *                was undone */
#pragma once
#include <gio/gio.h>
#include <rakelight/job-file.h>
#include <rakelight/photo-store.h>
#include <rakelight/rules.h>

#define RAKE_TYPE_SESSION (rake_session_get_type ())
G_DECLARE_FINAL_TYPE (RakeSession, rake_session, RAKE, SESSION, GObject)

/* Opens @path (read-only where it must be). NULL with @error from the job file. */
RakeSession *rake_session_open (const char *path, RakeRules *rules, GError **error);

/* A new job file with these entries as its first gesture; the rule set is recorded with it. */
RakeSession *rake_session_create (const char *path, RakeRules *rules, RakeEntry *const *entries,
                                  guint n_entries, GError **error);

const char *rake_session_get_path (RakeSession *self);
gboolean rake_session_is_read_only (RakeSession *self);

/* TRUE when the file is of a newer version: read-only then, without what is new in it. */
gboolean rake_session_is_newer (RakeSession *self);

/* The job as shown: as of now, or as it was where the timeline stands. Marking is refused (with a
 * message) while the timeline is back. */
const RakeJob *rake_session_get_job (RakeSession *self);

/* The job as of now, whatever the timeline shows. */
const RakeJob *rake_session_get_live_job (RakeSession *self);
RakeRules *rake_session_get_rules (RakeSession *self);

/* Judged at the session's time, kept until the zone changes. @zone is of the job as shown. Owned by
 * the session, and gone at the next "changed": ask again rather than keep it. */
const RakeJudgement *rake_session_get_judgement (RakeSession *self, const RakeZone *zone);

/* For the whole face: one a zone, in order; caller g_ptr_array_unref()s (contents not owned). The
 * gate is owned by the session, as judgements are. */
GPtrArray *rake_session_get_judgements (RakeSession *self, const RakeFace *face);
const RakeGate *rake_session_get_gate (RakeSession *self, const RakeFace *face);

/* The same for what only shows: of a large job the selected zones and some more are judged at once
 * and the others when nothing else is to be done, and "changed" is emitted as they come. NULL stands
 * for what is not judged yet; of the gate, while any zone of the face is not. */
const RakeJudgement *rake_session_find_judgement (RakeSession *self, const RakeZone *zone);
GPtrArray *rake_session_find_judgements (RakeSession *self, const RakeFace *face);
const RakeGate *rake_session_find_gate (RakeSession *self, const RakeFace *face);

/* Another number whenever @zone, as shown, or what is judged of it may be different. */
guint64 rake_session_get_zone_stamp (RakeSession *self, const RakeZone *zone);

/* Selection. Ids survive every change of the job; a zone that is gone is dropped. */
const RakeFace *rake_session_get_face (RakeSession *self);
void rake_session_select_face (RakeSession *self, RakeId face);
const RakeZone *rake_session_get_zone (RakeSession *self); /* the one shown in the slip, or NULL */
GPtrArray *rake_session_get_zones (RakeSession *self);     /* const RakeZone *, all selected */
gboolean rake_session_is_selected (RakeSession *self, RakeId zone);
void rake_session_select_zone (RakeSession *self, RakeId zone, gboolean add);
void rake_session_select_all_unsettled (RakeSession *self);
void rake_session_select_suggested (RakeSession *self);

/* The bench: how looks and passes are recorded until changed. Kept between runs per machine. */
typedef struct
{
  double lamp_deg;
  RakeSurface surface;
  RakeWipe wiped_with;
  RakeLight light;
  double stroke_deg;
  RakePaper paper;
  RakeMarkKind brush;     /* what a drag or a tap marks; UNSAID: the pointer selects */
  gboolean brush_is_uniform; /* the brush "uniform": a tap says so of the zone */
  double brush_radius_mm;
} RakeBench;
const RakeBench *rake_session_get_bench (RakeSession *self);
void rake_session_set_bench (RakeSession *self, const RakeBench *bench);

/* What the finisher does. Each returns whether it was recorded; if not, "message" says why. */
gboolean rake_session_pass_done (RakeSession *self); /* on the selected zones, where they stand */
gboolean rake_session_all_even (RakeSession *self);  /* a look at the selected zones: uniform */
gboolean rake_session_say_state (RakeSession *self, RakeId zone, RakeState state,
                                 double low_spot_fraction, double largest_island_mm);
/* A drawn place on the shown face, split by the zones it lies in. */
gboolean rake_session_mark (RakeSession *self, RakeMarkKind kind, const RakeShape *shape);

/* The same, drawn on a photograph that lies on its face, which is kept with it as what shows it. */
gboolean rake_session_mark_on_photo (RakeSession *self, RakeId photo, RakeMarkKind kind,
                                     const RakeShape *shape);
gboolean rake_session_revisit (RakeSession *self, RakeId mark, RakeOutcome outcome);
gboolean rake_session_revisit_all (RakeSession *self, RakeId zone, RakeOutcome outcome);
gboolean rake_session_accept (RakeSession *self, RakeId zone, const char *reason);
/* With the wheels (RakeId; may be NULL) that were looked over for it. */
gboolean rake_session_begin_stage (RakeSession *self, RakeId stage, GPtrArray *prepared,
                                   GArray *looked_over);
gboolean rake_session_note (RakeSession *self, RakeId about, const char *text);
gboolean rake_session_strike (RakeSession *self, RakeId entry, const char *reason);
/* FALSE, with a message that says why, when nothing may be worked on: the timeline is back, the file
 * cannot be written, or the job is closed. For what asks a person first. */
gboolean rake_session_check_work (RakeSession *self);

/* Whether @entry, not written yet, would be taken as the job stands now; for dialogs that say so while
 * one types. FALSE with an @error for the person. */
gboolean rake_session_would_take (RakeSession *self, RakeEntry *entry, GError **error);
gboolean rake_session_append (RakeSession *self, RakeEntry *const *entries, guint n_entries);
/* Entries with new photographs among them, see photo-store.h. Also while the timeline stands back:
 * preparing them takes a while, and it was allowed when it was begun. */
gboolean rake_session_append_photos (RakeSession *self, RakeEntry *const *entries, guint n_entries,
                                     const RakePhotoBytes *photos, guint n_photos);
gboolean rake_session_undo (RakeSession *self);
gboolean rake_session_redo (RakeSession *self);
gboolean rake_session_can_undo (RakeSession *self);
gboolean rake_session_can_redo (RakeSession *self);
char *rake_session_describe_undo (RakeSession *self); /* caller frees; NULL when there is none */
char *rake_session_describe_redo (RakeSession *self);

/* The timeline: how many of the live job's entries are shown. */
guint rake_session_get_shown_entries (RakeSession *self);
void rake_session_show_entries (RakeSession *self, guint n_entries); /* G_MAXUINT: now */
gboolean rake_session_is_in_the_past (RakeSession *self);

/* Which wheel passes at a buff stage take: as chosen for its compound, else as the last such pass did.
 * FALSE when nobody said yet and it is to be asked, because the job has wheels or is buffed on one.
 *
 * wheel  out; nil: none, by hand or with a pad */
gboolean rake_session_get_wheel (RakeSession *self, const RakeStage *stage, RakeId *wheel);
void rake_session_choose_wheel (RakeSession *self, const RakeStage *stage, RakeId wheel);

/* Why no pass can be made at @stage with that wheel, translated, caller frees; NULL when it can. */
char *rake_session_refuse_wheel (RakeSession *self, const RakeStage *stage);

/* The stage among the selected zones' at which a pass wants an answer about the wheel first; NULL: none. */
const RakeStage *rake_session_find_stage_to_ask (RakeSession *self);

/* Notes that a wheel was checked, stripped or replaced. */
gboolean rake_session_note_wheel_work (RakeSession *self, RakeId wheel, RakeWheelWork work);

/* Where the lamp should stand next, 0 to less than 360: across the strokes that the selected zone's
 * last look is about, or, where the lamp stands across them already, across itself. */
double rake_session_get_lamp_across_deg (RakeSession *self);

/* A warning that a pass on the selected zones should not be made, or NULL; caller frees. */
char *rake_session_warn_before_pass (RakeSession *self);

/* Whether an open mark from before wants an answer of its own, see docs/judging.md; every such one is
 * a ghost on the map, and so are this stage's own low spots, which the next look says again. */
gboolean rake_session_wants_another_look (const RakeZone *zone, const RakeMark *mark);

/* The open marks of @zone that want another look (@zone of the job as shown). Caller unrefs; the
 * marks are the job's. */
GPtrArray *rake_session_get_ghosts (RakeSession *self, const RakeZone *zone); /* RakeMark * */

/* The zone of the job as shown that holds @mark; the shown face's first. NULL when none does. */
const RakeZone *rake_session_find_zone_of_mark (RakeSession *self, RakeId mark);

/* Says everything again, for when the units or the words have changed. */
void rake_session_say_again (RakeSession *self);

/* Takes in what another program wrote, now rather than within a second. */
void rake_session_catch_up (RakeSession *self);

/* The job's file, for what does not go through the logbook: seal, client. Owned by the session. */
RakeJobFile *rake_session_get_file (RakeSession *self);

/* The clock that judges and that entries are stamped with: milliseconds since 1970, UTC. */
gint64 rake_session_now_ms (void);

/* For tests and demonstrations; NULL: the real clock. Sets rake_job_file_set_clock() too. */
void rake_session_set_clock (RakeClock clock);
