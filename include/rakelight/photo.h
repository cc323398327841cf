/* photo.h - the photographs of a job: what each shows, where it belongs, how it lies on its face.
 *
 * The bytes are the store's business (photo-store.h); here is what the logbook says of them. A
 * photograph is placed (face, stage, pass, zones, marks, lamp, view) by the entry that adds it, and
 * anew by a later entry that names it. Its bytes may be withdrawn: then it stays in the list and says
 * so.
 *
 * Places in a photograph are pixels of the picture as it lies in the file: x right, y down, 0, 0 the
 * outer corner of the first pixel. What a person sees is that picture turned upright; see RakeTurn.
 *
 * The structs are read only and stay valid until the next rake_job_apply(). */
#pragma once
#include <rakelight/job.h>

typedef struct
{
  RakeId id;                     /* of the entry that added it */
  const RakeEntry *entry;        /* what it is: hash, size, turn, and when it was taken */
  const RakeEntry *placed;       /* where it belongs: that entry, or the latest that places it anew */
  const RakeFace *face;          /* NULL: of the whole piece, or its face was struck out */
  const RakeEntry *withdrawal;   /* NULL while its bytes are kept */
  const RakeEntry *registration; /* how it lies on its face; NULL: not laid on it */
} RakePhoto;

/* In the order of the logbook. */
guint rake_job_get_n_photos (const RakeJob *job);
const RakePhoto *rake_job_get_photo (const RakeJob *job, guint index);

/* @id may also be that of an entry that places it anew. NULL when there is none, or it was struck out. */
const RakePhoto *rake_job_find_photo (const RakeJob *job, RakeId id);

/* The number in the list, from 1, of a photograph of these bytes that was not withdrawn; 0: there is none. Bytes
 * need not be a photograph's own: one picture may show two faces, and two benches may add the same. */
guint rake_job_find_same_photo (const RakeJob *job, const char *sha256);

/* The photographs of these bytes that nobody withdrew, those that were struck out, too: as long as there is one,
 * the bytes stay. An array of const RakeEntry *, which the caller frees with g_ptr_array_unref(). */
GPtrArray *rake_job_list_same_photos (const RakeJob *job, const char *sha256);

/* The entries that withdraw @photo for @reason, for the caller to append as one gesture: its own, and that of each
 * photograph of the same bytes that was struck out, which nobody sees and which would keep them; with
 * @everywhere the others of the same bytes as well. An array of RakeEntry *, which it owns. */
GPtrArray *rake_photo_new_withdrawals (const RakeJob *job, const RakePhoto *photo,
                                       const char *reason, gboolean everywhere);

/* The photographs that belong to a face, zone, stage, pass or mark (nil: all), the one taken last
 * first. A zone cut from another has the other's. An array of const RakePhoto *, which the caller
 * frees with g_ptr_array_unref(). */
GPtrArray *rake_job_list_photos (const RakeJob *job, RakeId about);

/* The photographs of @face that bear the view's name, the one taken last first; freed likewise. */
GPtrArray *rake_job_list_view (const RakeJob *job, RakeId face, const char *view);

/* An honest name for the file that it is saved to: "writing-box-lid-P800-2026-03-02-1.jpg", the job, the
 * face, the stage, the day it was taken, its number in the job; only what any system takes in a name.
 *
 * ending   ".jpg": as the file is, which need not be as the photograph is kept
 * returns  a string that the caller frees */
char *rake_photo_make_file_name (const RakeJob *job, const RakePhoto *photo, const char *ending);

/* A new entry that places @photo anew just as it is placed, for the caller to change and append; zones,
 * marks, stage and pass that are gone meanwhile are left out. */
RakeEntry *rake_photo_new_placement (const RakeJob *job, const RakePhoto *photo);

/* --- turning ------------------------------------------------------------------------------------ */

/* How a picture must be turned to stand upright, as EXIF's Orientation counts it: 1 as it lies, 2
 * mirrored left to right, 3 half a turn, 4 mirrored top to bottom, 5 mirrored along the falling
 * diagonal, 6 a quarter turn clockwise, 7 mirrored along the rising diagonal, 8 a quarter turn
 * anticlockwise. Source: Exif 2.32 (CIPA DC-008), tag 274; from memory. */
typedef int RakeTurn;

RakeTurn rake_photo_get_turn (const RakePhotoBody *photo);

/* The upright size of a picture that lies width × height in its file. */
void rake_turn_size (RakeTurn turn, double width, double height, double *upright_width,
                     double *upright_height);

/* A place in the picture as it lies to where it is upright, and back. Width and height are those of
 * the picture as it lies, both ways. */
void rake_turn_to_upright (RakeTurn turn, double width, double height, double x, double y,
                           double *upright_x, double *upright_y);
void rake_turn_from_upright (RakeTurn turn, double width, double height, double upright_x,
                             double upright_y, double *x, double *y);

/* --- the face in the photograph ------------------------------------------------------------------ */

/* A registration made ready: millimetres of the face to pixels and back. It never changes. */
typedef struct _RakePhotoMap RakePhotoMap;

/* width_px, height_px  of the picture as it lies in the file
 * returns  a map that the caller frees with rake_photo_map_free(), or NULL when the coefficients lay
 *          the face on a line or a point */
RakePhotoMap *rake_photo_map_new (const RakeRegistrationBody *registration, double width_px,
                                  double height_px);

/* Likewise of a photograph; NULL as well when it is not registered. */
RakePhotoMap *rake_photo_map_new_for_photo (const RakePhoto *photo);
void rake_photo_map_free (RakePhotoMap *map);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoMap, rake_photo_map_free)

/* A point of the face is projected, (X, Y, W) = m · (x, y, 1), to X / W, Y / W; a lens that bends sees
 * it from there further out or in: at r, counted from the middle of the picture in halves of its
 * diagonal, it is seen at r (1 + radial r²).
 *
 * returns  FALSE, and nothing written, where there is no such place: beyond the horizon of the face,
 *          or so far outside that the lens tells nothing */
gboolean rake_photo_map_to_photo (const RakePhotoMap *map, double x_mm, double y_mm, double *x_px,
                                  double *y_px);
gboolean rake_photo_map_to_face (const RakePhotoMap *map, double x_px, double y_px, double *x_mm,
                                 double *y_mm);

/* What was drawn on the photograph, as a shape on the face.
 *
 * kind       RAKE_SHAPE_POINT (one point), RAKE_SHAPE_LINE (two or more) or RAKE_SHAPE_AREA (three or
 *            more, closed by itself)
 * points_px  n_points pairs x, y
 * returns    a shape that the caller unrefs; NULL with RAKE_SHAPE_ERROR when it is none, or a part of
 *            it does not lie on the face's side of the horizon */
RakeShape *rake_photo_map_draw (const RakePhotoMap *map, RakeShapeKind kind, const double *points_px,
                                guint n_points, GError **error);

/* The zone that a place in the photograph shows; NULL off the face, or when it is not registered. */
const RakeZone *rake_photo_find_zone_at (const RakePhoto *photo, double x_px, double y_px);

/* A registration that may fit @photo as well: the latest of a photograph of the same face, view and
 * size, other than its own. NULL when there is none, or @photo has no view. */
const RakeEntry *rake_job_find_fit_of_view (const RakeJob *job, const RakePhoto *photo);

/* --- where a new photograph may belong ------------------------------------------------------------ */

typedef struct
{
  const RakeFace *face;   /* NULL: nothing was done before it was taken */
  const RakeStage *stage; /* NULL: not known */
  const RakeEntry *pass;  /* the pass it was taken after, if that was the last thing done */
  GPtrArray *zones;       /* const RakeZone *, as they are now; may be empty */
  double hours_before;    /* how long before the photograph that was done; NaN without a face */
} RakePhotoGuess;

/* From what was worked or looked at last when it was taken. Only a guess: a person decides. Whoever
 * asks should ask less of it as hours_before grows. */
void rake_job_guess_photo_place (const RakeJob *job, gint64 taken_ms, RakePhotoGuess *guess);
void rake_photo_guess_clear (RakePhotoGuess *guess);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakePhotoGuess, rake_photo_guess_clear)
