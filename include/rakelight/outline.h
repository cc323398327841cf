/* outline.h - where a face's outline comes from: one of our own shapes, or a drawing.
 *
 * Our own outlines are drawn from lines and arcs with made-up proportions; they stand for no
 * particular maker's piece. */
#pragma once
#include <rakelight/shape.h>

typedef enum
{
  RAKE_OUTLINE_ROUNDED_SLAB = 1, /* a rectangle with round corners */
  RAKE_OUTLINE_PEAR,             /* narrow above, round below, as a mandola's front */
  RAKE_OUTLINE_WAISTED,          /* two bouts and a waist */
  RAKE_OUTLINE_CUT_AWAY,         /* two bouts, one shoulder cut away */
  RAKE_OUTLINE_LID,              /* a lid with a slightly bowed front edge */
  RAKE_OUTLINE_SIDE_STRIP,       /* sides unrolled: a long strip that tapers */
  RAKE_OUTLINE_DISC,             /* an oval; round when width equals height */
  RAKE_OUTLINE_NECK,             /* a tapering strip with a round end */
  RAKE_N_OUTLINES,
} RakeOutlineKind;

/* The untranslated name for a person ("Rounded slab"); mark for translation with gettext. */
const char *rake_outline_kind_get_name (RakeOutlineKind kind);

/* A size that looks right for the kind, for a form's first values. hole_mm 0 means no hole. */
void rake_outline_kind_get_usual_size (RakeOutlineKind kind, double *width_mm, double *height_mm,
                                       double *hole_mm);

/* The outline at the given size, its upper left corner at 0, 0. Curves become lines within
 * 0.05 mm.
 *
 * width_mm, height_mm  1 to 20000
 * hole_mm              diameter of one round hole in the usual place, 0 for none; it must fit
 * returns              an area; NULL with RAKE_SHAPE_ERROR_INVALID and a sentence for the person */
RakeShape *rake_outline_new (RakeOutlineKind kind, double width_mm, double height_mm,
                             double hole_mm, GError **error);

#define RAKE_SVG_ERROR (rake_svg_error_quark ())
GQuark rake_svg_error_quark (void);

typedef enum
{
  RAKE_SVG_ERROR_NOT_SVG,  /* not XML, or no svg element, or too large */
  RAKE_SVG_ERROR_PATH,     /* a path or transform that cannot be read; the message says where */
  RAKE_SVG_ERROR_NO_SIZE,  /* no physical unit in width/height: ask for mm_per_unit */
  RAKE_SVG_ERROR_NO_AREA,  /* nothing closed in it */
  RAKE_SVG_ERROR_NOT_READ, /* it shows what we do not follow; the message names the element */
} RakeSvgError;

/* Reads the largest closed path of an SVG drawing as an outline; closed paths inside it are holes,
 * except one that covers more than nine tenths of it: that is a line drawn beside the edge.
 *
 * Understood are all path commands and basic shapes; g, a, switch (its first child that asks for
 * nothing), use, symbol and svg within svg with their viewBox; transform attributes; display and
 * visibility; lengths in user units, px, mm, cm, Q, in, pt, pc and percent. Passed over are text,
 * pictures, open lines and colours. What else would change a closed path is refused with
 * RAKE_SVG_ERROR_NOT_READ: clip-path, mask, a drawing within that cuts off what leaves it, a
 * transform or measure in a style, style sheets that do more than colour, other units, a use of
 * another file. Curves become lines within 0.01 mm. Nothing outside the text is ever read.
 *
 * svg          the file's text, at most 16 MiB
 * mm_per_unit  millimetres of one user unit, or 0 to take width/height in physical units
 * returns      an area moved to 0, 0; NULL with RAKE_SVG_ERROR (or RAKE_SHAPE_ERROR) set
 * source       W3C SVG 1.1 (2nd edition), chapters 5, 7, 8, 9, 11.5 and 14.3 */
RakeShape *rake_outline_new_from_svg (const char *svg, gsize length, double mm_per_unit,
                                      GError **error);
