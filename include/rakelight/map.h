/* map.h - drawing a face with cairo: on screen, in thumbnails, on paper, by the same code.
 *
 * The map is the picture of the surface as the lamp shows it. Stipple, hatch and contours are drawn
 * at one scale in millimetres of the piece, so zooming in shows more, not bigger. Nothing here keeps
 * a cairo_t or a job. Functions draw in view pixels: (0, 0) is the view's upper left corner.
 *
 * The same input gives the same pixels. Tiles of grain, stipple and light are kept per thread in a
 * small cache, so any thread may draw on a cairo_t of its own. */
#pragma once
#include <cairo.h>
#include <rakelight/palette.h>
#include <rakelight/rules.h>

#define RAKE_MAP_ERROR (rake_map_error_quark ())
GQuark rake_map_error_quark (void);

typedef enum
{
  RAKE_MAP_ERROR_WRITE, /* the picture could not be written; the message says why */
} RakeMapError;

typedef struct
{
  RakeTheme theme;
  double width_px, height_px;
  double px_per_mm;
  double origin_x_px, origin_y_px; /* where the face's 0, 0 lies */
  double lamp_deg;                 /* NaN: no shading */
  double text_px;                  /* height of label text; 0: no labels */
  gboolean is_paper;               /* hatch as strokes, not as tiles */
} RakeMapView;

/* A view that shows the whole face with @margin_px around it (room for the lamp ring). */
void rake_map_view_fit (RakeMapView *view, const RakeFace *face, double margin_px);
void rake_map_view_to_mm (const RakeMapView *view, double x_px, double y_px, double *x_mm,
                          double *y_mm);
void rake_map_view_to_px (const RakeMapView *view, double x_mm, double y_mm, double *x_px,
                          double *y_px);

/* Keeps the place under (x_px, y_px) still while the scale is multiplied. */
void rake_map_view_zoom (RakeMapView *view, double factor, double x_px, double y_px);

typedef enum
{
  RAKE_ZONE_PLAIN = 0,
  RAKE_ZONE_SELECTED = 1 << 0,
  RAKE_ZONE_SUGGESTED = 1 << 1, /* take this one up next */
  RAKE_ZONE_HOVERED = 1 << 2,
} RakeZoneFlags;

/* What the zone's surface shows as a whole; marks are drawn apart. RAKE_STATE_UNSAID: not looked
 * at since the last pass. @judgement may be NULL (plain wood, as in the zone editor). */
RakeState rake_map_get_shown_state (const RakeJudgement *judgement);

/* The zone's surface: wood, light from the lamp's side, its state's pattern. Fits in
 * rake_map_zone_extents(), so that it can be one kept drawing node. */
void rake_map_draw_zone (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                         const RakeJudgement *judgement);
void rake_map_zone_extents (const RakeMapView *view, const RakeZone *zone, double *x_px,
                            double *y_px, double *width_px, double *height_px);

/* The marks of a zone: open ones as the lamp shows them; those that want another look as ghosts
 * (dashed, pale); carried ones hollow; repaired places as a small stitched outline that stays. Fits in
 * rake_map_marks_extents() (0 wide when the zone has no marks). */
void rake_map_draw_marks (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                          const RakeJudgement *judgement);
void rake_map_marks_extents (const RakeMapView *view, const RakeZone *zone, double *x_px,
                             double *y_px, double *width_px, double *height_px);
gboolean rake_mark_is_ghost (const RakeZone *zone, const RakeMark *mark);
gboolean rake_mark_is_carried (const RakeZone *zone, const RakeMark *mark);

/* A mark while it is being drawn, before it is an entry: line or area in mm. */
void rake_map_draw_mark_preview (cairo_t *cr, const RakeMapView *view, RakeMarkKind kind,
                                 const RakeShape *shape);

/* The seams between zones and the face's outline, holes, the edge of the selected zone. */
void rake_map_draw_seams (cairo_t *cr, const RakeMapView *view, const RakeFace *face);
void rake_map_draw_zone_edge (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                              RakeZoneFlags flags);

/* Labels: a verdict with glyph and word and the zone's name under it, or only the glyph where the
 * zone is small, laid out so that none covers another or leaves the view.
 *
 * judgements  one for each zone of @face, in order
 * returns     an array of RakeMapLabel, in the zones' order; caller g_array_unref()s */
typedef struct
{
  double x_px, y_px, width_px, height_px;
  gboolean is_glyph_only, is_hidden;
} RakeMapLabel;
GArray *rake_map_lay_labels (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                             RakeJudgement *const *judgements);

/* The same layout when only some zones are other than when @before was laid, in the same view, for
 * as many zones in the same order; only what that may have moved is laid again.
 *
 * is_other  of each zone whether its name, shape, marks or judgement are other
 * returns   as rake_map_lay_labels() */
GArray *rake_map_lay_labels_again (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                                   RakeJudgement *const *judgements, const GArray *before,
                                   const gboolean *is_other);
void rake_map_draw_label (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                          const RakeJudgement *judgement, const RakeMapLabel *label);

/* The lamp ring: a rail around the face on which the lamp stands. It is rounder around a round face
 * and squarer around a square one, and never leaves the view, however far in the view is zoomed.
 *
 * radius_px  from the centre to the ring towards view->lamp_deg (towards 0 without a lamp) */
void rake_map_get_ring (const RakeMapView *view, const RakeFace *face, double *centre_x_px,
                        double *centre_y_px, double *radius_px);

/* Where the lamp stands. FALSE, and nothing set, when view->lamp_deg is NaN. */
gboolean rake_map_get_lamp (const RakeMapView *view, const RakeFace *face, double *x_px,
                            double *y_px);

/* The direction in which a place lies from the ring's centre: 0 to 360, 0 towards the top edge. */
double rake_map_get_lamp_deg_at (const RakeMapView *view, const RakeFace *face, double x_px,
                                 double y_px);

/* Whether a place is within @reach_px of the ring or of the lamp. */
gboolean rake_map_is_on_ring (const RakeMapView *view, const RakeFace *face, double x_px,
                              double y_px, double reach_px);

/* The light over the bench, under the piece: the lamp's glow on the ground and the piece's shadow. */
void rake_map_draw_glow (cairo_t *cr, const RakeMapView *view, const RakeFace *face);
void rake_map_draw_lamp (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                         gboolean is_grabbed);

/* The whole face: ground glow, zones, seams, marks, labels, lamp; for thumbnails and files. */
void rake_map_draw_face (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                         RakeJudgement *const *judgements);

/* Small pictures for buttons, rails and lists, in a box of the given size at 0, 0. */
void rake_map_draw_verdict_glyph (cairo_t *cr, RakeTheme theme, RakeVerdict verdict, double size_px);
/* The sign of a zone that is accepted as it is. */
void rake_map_draw_accepted_glyph (cairo_t *cr, RakeTheme theme, double size_px);
void rake_map_draw_state_picture (cairo_t *cr, RakeTheme theme, RakeState state, double width_px,
                                  double height_px);
void rake_map_draw_mark_picture (cairo_t *cr, RakeTheme theme, RakeMarkKind kind, double width_px,
                                 double height_px);
void rake_map_draw_progress_ring (cairo_t *cr, RakeTheme theme, double fraction, double size_px);

/* The words for the pictures that this face's map has, in rows from 0, 0 on. Returns the height of the
 * rows; with @is_drawn FALSE that is all it does. */
double rake_map_draw_legend (cairo_t *cr, RakeTheme theme, const RakeFace *face,
                             RakeJudgement *const *judgements, double width_px, gboolean is_drawn);

/* A bar of a round length in the shown unit, its lower left corner at x, y. */
void rake_map_draw_scale_bar (cairo_t *cr, const RakeMapView *view, double x, double y);

/* Writes a face's map with a title, a legend and a scale bar to a PNG, SVG or PDF, by the name's
 * ending. The file appears whole or not at all.
 *
 * width_px   of a PNG, 64 to 8192; SVG and PDF are in points at a readable scale (A4 landscape or
 *            portrait, whichever fits)
 * returns    FALSE with RAKE_MAP_ERROR_WRITE */
gboolean rake_map_write (const char *path, const RakeJob *job, const RakeFace *face,
                         RakeJudgement *const *judgements, RakeTheme theme, double width_px,
                         double lamp_deg, GError **error);
