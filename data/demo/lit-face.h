/* lit-face.h - a face as its logbook tells it, under a low lamp: matte where it was sanded, shiny where
 * the paper has not been, with the marks that are open on it. What is not told (grain, hairlines, where
 * in its zone a low spot lies) is made up, the same for the same seed. */
#pragma once
#include <rakelight/job.h>

typedef struct _LitFace LitFace;

/* lamp_deg  where the lamp stands: from the top edge, clockwise
 * seen      what of the face will be looked at; it may reach beyond the face
 * cell_mm   finer than the camera sees
 * returns   a face that the caller frees; it keeps nothing of @face */
LitFace *lit_face_new (const RakeJob *job, const RakeFace *face, double lamp_deg,
                       const RakeBounds *seen, double cell_mm, guint32 seed);
void lit_face_free (LitFace *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LitFace, lit_face_free)

/* A RakingShine; @lit_face is one. */
void lit_face_shine (double x_mm, double y_mm, double light[3], gpointer lit_face);
