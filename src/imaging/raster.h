/* raster.h - planes of numbers over a face: cells of equal size in millimetres, x right, y down. */
#pragma once
#include <glib.h>
#include <rakelight/shape.h>

typedef struct
{
  double x_mm, y_mm; /* the outer corner of the first cell */
  double cell_mm;
  int width, height;
} RakeRaster;

/* Cells of @cell_mm that cover @bounds with @margin_mm around. */
void rake_raster_init (RakeRaster *raster, const RakeBounds *bounds, double margin_mm,
                       double cell_mm);

static inline gsize
rake_raster_get_size (const RakeRaster *raster)
{
  return (gsize) raster->width * (gsize) raster->height;
}

/* Told of @n cells beside one another, the first of which is @begin. */
typedef void (*RakeRasterRun) (gsize begin, gsize n, gpointer data);

/* Runs through the cells whose middle lies in @area (even-odd), row by row. */
void rake_raster_visit (const RakeRaster *raster, const RakeShape *area, RakeRasterRun run,
                        gpointer data);

/* Sets @value in every cell whose middle lies in @area (even-odd). */
void rake_raster_fill (const RakeRaster *raster, const RakeShape *area, guint8 value,
                       guint8 *cells);

/* Gaussian mean, near enough, of the cells where @mask is not 0, taken over these alone; elsewhere
 * it is what lies around. @in and @out may be one. Three passes of a running mean.
 *
 * mask  NULL for all cells; sd_cells  more than 0 */
void rake_raster_blur (const RakeRaster *raster, const float *in, const guint8 *mask,
                       double sd_cells, float *out);

/* Distance, in cells, of each cell to the nearest where @cells is 0; beyond the raster all is 0. */
void rake_raster_distance (const RakeRaster *raster, const guint8 *cells, float *distance);

/* The share @rank (0 to 1) of the values where @mask is not 0; 0 when there is none. */
double rake_raster_quantile (const RakeRaster *raster, const float *values, const guint8 *mask,
                             double rank);

/* The outlines of the connected cells that have @label: outer ones and holes, along the cells'
 * edges with the corners cut, in mm.
 *
 * returns  one area, or NULL where nothing remains */
RakeShape *rake_raster_trace (const RakeRaster *raster, const guint32 *labels, guint32 label,
                              int min_x, int min_y, int max_x, int max_y);
