/* proposals-private.h - what the list of proposals, its worker and its entering share. */
#pragma once
#include "proposals.h"

struct _RakeProposal
{
  GObject parent_instance;

  RakeShape *shape;
  RakeMarkKind kind;
  double confidence;
  guint showing; /* bits: which of the photographs read show it */
  char *name, *why;
  gboolean is_taken;
};

struct _RakeProposals
{
  GObject parent_instance;

  RakeSession *session;
  RakeId photo;
  double sensitivity;
  RakeProposalsState state;
  char *sentence;

  RakePhotoReading *reading;
  GArray *zones;        /* RakeId, in the order of the reading's */
  GListStore *list;     /* RakeProposal */

  /* RakeId of photographs, the chosen one first: of what is going on, of the reading, and others
   * that a person does not want read with it. */
  GArray *asked, *read, *left_out;

  /* What a person took or left, to be found again by its place: touched ones, and what holds for
   * the others. */
  GPtrArray *touched;   /* RakeProposal, of earlier readings too, the latest last */
  gboolean are_taken;

  RakePhotoPicture *picture; /* at full size; NULL: not read yet */
  GCancellable *cancellable; /* of what is going on */
  struct _RakeProposalsWork *work; /* its task's */
  guint waiting, telling;
};

/* showing  bits as in RakePhotoSpot */
RakeProposal *rake_proposal_new (RakeMarkKind kind, RakeShape *shape, double confidence,
                                 guint showing, const char *why);
void rake_proposal_set_taken (RakeProposal *self, gboolean is_taken);

/* Reads again once nothing was asked for a moment; nothing when no photograph was chosen yet. */
void rake_proposals_read_soon (RakeProposals *self);

/* The photograph, when it is still in the job and lies on its face; else NULL. */
const RakePhoto *rake_proposals_find_photo (RakeProposals *self);

/* --- proposals-photos.c: which photographs are read together */

/* @photo, then the others that are to be read with it. An array of const RakePhoto *. */
GPtrArray *rake_proposals_list_asked (RakeProposals *self, const RakePhoto *photo);

/* @why, and where not all that were read show it, which do. Free with g_free(). */
char *rake_proposals_say_why (RakeProposals *self, guint showing, const char *why);

/* --- proposals-work.c: in the worker thread */

/* What a worker reads; owned by its task. */
typedef struct _RakeProposalsWork RakeProposalsWork;

/* path     of the job's file
 * photos   const RakePhoto * of one face, 1 to RAKE_PHOTO_MAX_TOGETHER
 * picture  of the first; the others are read from the file
 * returns  NULL with @error when the points of one make no sense */
RakeProposalsWork *rake_proposals_work_new (const char *path, const GPtrArray *photos,
                                            RakePhotoPicture *picture, double sensitivity,
                                            GError **error);
double rake_proposals_work_get_progress (const RakeProposalsWork *work);

/* @done gets a task with a RakePhotoReading; @work is the task's from then on. */
void rake_proposals_work_run (RakeProposalsWork *work, GCancellable *cancellable,
                              GAsyncReadyCallback done, gpointer user_data);
