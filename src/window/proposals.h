/* proposals.h - what a photograph under a low lamp seems to show, for a person to take or leave.
 *
 * Reading goes on in a worker thread. What was taken stays taken, by its place, when the photograph is
 * read again at another sensitivity. Nothing is entered before rake_proposals_enter(), and then only
 * what is taken, as one gesture.
 *
 * Signals:
 *   "changed"   another state, or other proposals
 *   "taken"     one or all were taken or left
 *   "progress"  the worker got further */
#pragma once
#include "session.h"
#include <rakelight/photo-reading.h>
#include <rakelight/photo.h>

typedef enum
{
  RAKE_PROPOSALS_NONE,    /* nothing read yet, or stopped */
  RAKE_PROPOSALS_READING,
  RAKE_PROPOSALS_READ,    /* there is a reading; the photograph may still be declined by it */
  RAKE_PROPOSALS_FAILED,  /* rake_proposals_get_sentence() says why */
} RakeProposalsState;

#define RAKE_TYPE_PROPOSAL (rake_proposal_get_type ())
G_DECLARE_FINAL_TYPE (RakeProposal, rake_proposal, RAKE, PROPOSAL, GObject)

/* Property "taken": boolean, read-only. */

/* Of the face, mm: an area for a low spot, a line for a scratch. */
const RakeShape *rake_proposal_get_shape (RakeProposal *self);
RakeMarkKind rake_proposal_get_kind (RakeProposal *self);
double rake_proposal_get_confidence (RakeProposal *self);
gboolean rake_proposal_is_taken (RakeProposal *self);

/* "Low spot, 34 mm²", and a sentence why. Owned by the proposal. */
const char *rake_proposal_get_name (RakeProposal *self);
const char *rake_proposal_get_why (RakeProposal *self);

#define RAKE_TYPE_PROPOSALS (rake_proposals_get_type ())
G_DECLARE_FINAL_TYPE (RakeProposals, rake_proposals, RAKE, PROPOSALS, GObject)

/* Of @session's job, which it keeps. */
RakeProposals *rake_proposals_new (RakeSession *session);

/* Begins to read a photograph that lies on its face; of another one nothing is kept. */
void rake_proposals_read (RakeProposals *self, RakeId photo);
void rake_proposals_cancel (RakeProposals *self);

/* Drops what was read of a photograph that was withdrawn meanwhile, or struck out, and says so in its sentence.
 * TRUE when it did. */
gboolean rake_proposals_let_go (RakeProposals *self);

/* The others that can be read as one with the chosen photograph: they lie on the same face, are of the
 * same stage and pass where that is said, and no pass was worked between. All are, unless left out:
 * of more than RAKE_PHOTO_MAX_TOGETHER those taken soonest before or after. The one taken last first;
 * an array of const RakePhoto *, which the caller frees with g_ptr_array_unref(). */
GPtrArray *rake_proposals_list_others (RakeProposals *self);
gboolean rake_proposals_is_read_with (RakeProposals *self, RakeId other);

/* Read again once nothing was asked for a moment. */
void rake_proposals_read_with (RakeProposals *self, RakeId other, gboolean is_read);

/* "from the window, lamp at 135°, 09:41". Free with g_free(). */
char *rake_proposals_name_photo (const RakePhoto *photo);

/* 0 to 1. Read again once it has stood still for a moment. */
void rake_proposals_set_sensitivity (RakeProposals *self, double sensitivity);
double rake_proposals_get_sensitivity (RakeProposals *self);

RakeId rake_proposals_get_photo (RakeProposals *self);
RakeProposalsState rake_proposals_get_state (RakeProposals *self);
double rake_proposals_get_progress (RakeProposals *self);
const char *rake_proposals_get_sentence (RakeProposals *self); /* NULL: nothing to be said */

/* A list of RakeProposal: low spots from the top down, then scratches. Owned by @self, and the same
 * one as long as it lives. */
GListModel *rake_proposals_get_list (RakeProposals *self);

/* NULL before the first; while the photograph is read again, what was read before. */
const RakePhotoReading *rake_proposals_get_reading (RakeProposals *self);

/* The zone that the reading's zone @index is of, as the job is now; NULL when it is gone. */
const RakeZone *rake_proposals_get_zone (RakeProposals *self, guint index);

/* TRUE when the zone was worked after the photograph was taken. */
gboolean rake_proposals_is_stale (RakeProposals *self, const RakeZone *zone);

void rake_proposals_take (RakeProposals *self, RakeProposal *proposal, gboolean is_taken);
void rake_proposals_take_all (RakeProposals *self, gboolean are_taken);
guint rake_proposals_count_taken (RakeProposals *self);

/* The one at a place of the face, or the nearest within reach; NULL when there is none. */
RakeProposal *rake_proposals_find_at (RakeProposals *self, double x_mm, double y_mm,
                                      double reach_mm);

/* Enters what is taken, and the look it was seen in: dry, under the lamp where it stood for the
 * chosen photograph, when that was taken, of every zone that could be read. Every photograph that shows
 * a mark names it from then on. One gesture. FALSE after the session's "message". */
gboolean rake_proposals_enter (RakeProposals *self);
