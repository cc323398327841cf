/* proposals-private.h - what the list of proposals, its worker and its entering share. */
#pragma once
#include "proposals.h"

struct _RakeProposal
{
  GObject parent_instance;

  RakeShape *shape;
  RakeMarkKind kind;
  double confidence;
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

  /* What a person took or left, to be found again by its place: touched ones, and what holds for
   * the others. */
  GPtrArray *touched;   /* RakeProposal, of earlier readings too, the latest last */
  gboolean are_taken;

  RakePhotoPicture *picture; /* at full size; NULL: not read yet */
  GCancellable *cancellable; /* of what is going on */
  struct _RakeProposalsWork *work; /* its task's */
  guint waiting, telling;
};

/* The photograph, when it is still in the job and lies on its face; else NULL. */
const RakePhoto *rake_proposals_find_photo (RakeProposals *self);

/* --- proposals-work.c: in the worker thread */

/* What a worker reads; owned by its task. */
typedef struct _RakeProposalsWork RakeProposalsWork;

/* NULL with @error when the photograph's points make no sense. */
RakeProposalsWork *rake_proposals_work_new (const RakePhoto *photo, RakePhotoPicture *picture,
                                            double sensitivity, GError **error);
double rake_proposals_work_get_progress (const RakeProposalsWork *work);

/* @done gets a task with a RakePhotoReading; @work is the task's from then on. */
void rake_proposals_work_run (RakeProposalsWork *work, GCancellable *cancellable,
                              GAsyncReadyCallback done, gpointer user_data);
