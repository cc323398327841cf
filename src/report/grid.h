/* grid.h - a table on paper. Private to src/report.
 *
 * Columns take the width that their texts ask for and share what is left or lacking; a row stays whole
 * unless it is half a page high; a table that goes on over the page repeats its head. Rows are parted by
 * hairlines, nothing is shaded. */
#pragma once
#include "flow.h"

typedef struct _RakeGrid RakeGrid;

typedef enum
{
  RAKE_CELL_PLAIN = 0,
  RAKE_CELL_STRONG = 1 << 0,
  RAKE_CELL_SOFT = 1 << 1,
  RAKE_CELL_STRUCK = 1 << 2, /* struck through, still to be read */
} RakeCellFlags;

/* A small picture before a cell's text. */
typedef enum
{
  RAKE_SIGN_NONE,
  RAKE_SIGN_VERDICT,  /* value: a RakeVerdict */
  RAKE_SIGN_ACCEPTED,
  RAKE_SIGN_STATE,    /* value: a RakeState */
  RAKE_SIGN_MARK,     /* value: a RakeMarkKind */
} RakeSign;

RakeGrid *rake_grid_new (void);
void rake_grid_free (RakeGrid *grid);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeGrid, rake_grid_free)

/* title  NULL for a column without one; a grid in which none has one has no head
 * share  of the width that is left over: 0 keeps to what its texts ask for */
void rake_grid_add_column (RakeGrid *grid, const char *title, RakeAlign align, double share);

/* A line over the rows below it, kept with the next. */
void rake_grid_add_group (RakeGrid *grid, const char *text);

/* Cells are added from left to right; those that are left out stay empty. */
void rake_grid_add_row (RakeGrid *grid);

/* All cells of the row have the flags besides their own: RAKE_CELL_STRUCK for an entry that stands for
 * nothing any more. */
void rake_grid_add_row_with (RakeGrid *grid, RakeCellFlags flags);
void rake_grid_add (RakeGrid *grid, const char *text);
void rake_grid_add_with (RakeGrid *grid, const char *text, RakeCellFlags flags, RakeSign sign,
                         int value);

/* The same, and frees the text. */
void rake_grid_take (RakeGrid *grid, char *text);
guint rake_grid_get_n_rows (const RakeGrid *grid);

/* Prints it. @type is that of its texts: BODY or SMALL. */
void rake_flow_grid (RakeFlow *flow, const RakeGrid *grid, RakeType type);
