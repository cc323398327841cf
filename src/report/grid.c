/* grid.c - see grid.h. */
#include "grid.h"

#include "print-words.h"
#include "text-width.h"

#include <math.h>
#include <string.h>

#define GAP_PT 9.0      /* between columns */
#define PAD_PT 2.6      /* above and below a row's text */
#define HEAD_RULE_PT 0.5
#define SIGN_PT 8.6
#define PICTURE_PT 20.0
#define SIGN_GAP_PT 4.0
#define ROWS_MEASURED 400 /* of a long table, to find the columns' widths */
#define NARROWEST_PT 24.0

typedef struct
{
  char *title;
  RakeAlign align;
  double share;
} Column;

/* What stands where nothing is known. */
#define DASH "–"

typedef struct
{
  char *text;
  RakeCellFlags flags;
  RakeSign sign;
  int value;
} Cell;

typedef struct
{
  guint first_cell, n_cells;
  gboolean is_group;
} Row;

struct _RakeGrid
{
  GArray *columns, *cells, *rows;
  RakeCellFlags row_flags; /* of the row that is being filled */
};

static void
clear_column (gpointer data)
{
  g_free (((Column *) data)->title);
}

static void
clear_cell (gpointer data)
{
  g_free (((Cell *) data)->text);
}

RakeGrid *
rake_grid_new (void)
{
  RakeGrid *self = g_new0 (RakeGrid, 1);

  self->columns = g_array_new (FALSE, TRUE, sizeof (Column));
  self->cells = g_array_new (FALSE, TRUE, sizeof (Cell));
  self->rows = g_array_new (FALSE, TRUE, sizeof (Row));
  g_array_set_clear_func (self->columns, clear_column);
  g_array_set_clear_func (self->cells, clear_cell);
  return self;
}

void
rake_grid_free (RakeGrid *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->columns);
  g_array_unref (self->cells);
  g_array_unref (self->rows);
  g_free (self);
}

void
rake_grid_add_column (RakeGrid *self, const char *title, RakeAlign align, double share)
{
  Column column = { g_strdup (title), align, share };

  g_array_append_val (self->columns, column);
}

static void
begin_row (RakeGrid *self, gboolean is_group)
{
  Row row = { self->cells->len, 0, is_group };

  g_array_append_val (self->rows, row);
}

void
rake_grid_add_with (RakeGrid *self, const char *text, RakeCellFlags flags, RakeSign sign, int value)
{
  Cell cell = { rake_print_together (text != NULL ? text : ""), flags | self->row_flags, sign,
                value };

  g_array_append_val (self->cells, cell);
  g_array_index (self->rows, Row, self->rows->len - 1).n_cells++;
}

void
rake_grid_add_group (RakeGrid *self, const char *text)
{
  self->row_flags = RAKE_CELL_PLAIN;
  begin_row (self, TRUE);
  rake_grid_add_with (self, text, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0);
}

void
rake_grid_add_row_with (RakeGrid *self, RakeCellFlags flags)
{
  self->row_flags = flags;
  begin_row (self, FALSE);
}

void
rake_grid_add_row (RakeGrid *self)
{
  rake_grid_add_row_with (self, RAKE_CELL_PLAIN);
}

void
rake_grid_add (RakeGrid *self, const char *text)
{
  rake_grid_add_with (self, text, RAKE_CELL_PLAIN, RAKE_SIGN_NONE, 0);
}

void
rake_grid_take (RakeGrid *self, char *text)
{
  rake_grid_add (self, text);
  g_free (text);
}

guint
rake_grid_get_n_rows (const RakeGrid *self)
{
  return self->rows->len;
}

/* --- cells ---------------------------------------------------------------------------------- */

typedef struct
{
  RakeFlow *flow;
  const RakeGrid *grid;
  RakeType type;
  double *x, *width; /* of each column */
  gboolean has_head;
} Print;

static RakeType
type_of_cell (RakeType type, RakeCellFlags flags)
{
  gboolean is_small = type == RAKE_TYPE_SMALL;

  if (flags & RAKE_CELL_STRONG)
    return is_small ? RAKE_TYPE_SMALL_STRONG : RAKE_TYPE_STRONG;
  if (flags & (RAKE_CELL_SOFT | RAKE_CELL_STRUCK))
    return is_small ? RAKE_TYPE_SMALL_SOFT : RAKE_TYPE_SOFT;
  return type;
}

static double
sign_width (const Cell *cell)
{
  switch (cell->sign)
    {
    case RAKE_SIGN_VERDICT:
    case RAKE_SIGN_ACCEPTED:
      return SIGN_PT + SIGN_GAP_PT;
    case RAKE_SIGN_STATE:
    case RAKE_SIGN_MARK:
      return PICTURE_PT + SIGN_GAP_PT;
    case RAKE_SIGN_NONE:
    default:
      return 0;
    }
}

/* What takes one line is laid as one, in a width that it might miss by a hair. */
static gboolean
is_one_line (const Print *print, const Cell *cell, double width)
{
  RakeType type = type_of_cell (print->type, cell->flags);

  return strchr (cell->text, '\n') == NULL &&
         rake_flow_measure (print->flow, type, cell->text).wanted <= width + 1e-6;
}

static PangoLayout *
lay_cell (const Print *print, const Cell *cell, double width)
{
  RakeType type = type_of_cell (print->type, cell->flags);
  gboolean is_line = is_one_line (print, cell, width);
  PangoLayout *layout;
  PangoAttrList *attributes;

  if (!(cell->flags & RAKE_CELL_STRUCK))
    return is_line ? rake_flow_lay_line (print->flow, type, cell->text)
                   : rake_flow_lay (print->flow, type, cell->text, width);
  layout = rake_flow_lay (print->flow, type, cell->text, is_line ? -1 : width);
  attributes = pango_attr_list_copy (pango_layout_get_attributes (layout));
  pango_attr_list_insert (attributes, pango_attr_strikethrough_new (TRUE));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  return layout;
}

static void
draw_sign (cairo_t *cr, const Cell *cell, double height)
{
  switch (cell->sign)
    {
    case RAKE_SIGN_VERDICT:
      rake_map_draw_verdict_glyph (cr, RAKE_THEME_PAPER, (RakeVerdict) cell->value, SIGN_PT);
      break;
    case RAKE_SIGN_ACCEPTED:
      rake_map_draw_accepted_glyph (cr, RAKE_THEME_PAPER, SIGN_PT);
      break;
    case RAKE_SIGN_STATE:
      rake_map_draw_state_picture (cr, RAKE_THEME_PAPER, (RakeState) cell->value, PICTURE_PT,
                                   height);
      break;
    case RAKE_SIGN_MARK:
      rake_map_draw_mark_picture (cr, RAKE_THEME_PAPER, (RakeMarkKind) cell->value, PICTURE_PT,
                                  height);
      break;
    case RAKE_SIGN_NONE:
    default:
      break;
    }
}

/* Drawn anew each time: cairo 1.16 names a picture that is shown twice on a page twice among its
 * resources, which readers complain of. */
static void
print_sign (const Print *print, const Cell *cell, double x, double y)
{
  double leading = rake_type_get_leading (print->type);
  gboolean is_glyph = cell->sign == RAKE_SIGN_VERDICT || cell->sign == RAKE_SIGN_ACCEPTED;
  double height = is_glyph ? SIGN_PT : leading - 1;

  if (cell->sign == RAKE_SIGN_NONE || !print->flow->is_drawn)
    return;
  cairo_save (print->flow->cr);
  cairo_translate (print->flow->cr, x, y + (leading - height) / 2);
  draw_sign (print->flow->cr, cell, height);
  cairo_restore (print->flow->cr);
}

/* --- columns -------------------------------------------------------------------------------- */

static void
widen_to (const Print *print, const Cell *cell, double *wanted, double *least)
{
  RakeTextWidth width =
      rake_flow_measure (print->flow, type_of_cell (print->type, cell->flags), cell->text);
  double sign = sign_width (cell);

  *wanted = MAX (*wanted, sign + width.wanted);
  *least = MAX (*least, sign + width.least);
}

/* wanted  for its longest text to stand on one line
 * least   for its longest word
 * mean    that its texts would take, empty ones too */
typedef struct
{
  double *wanted, *least, *mean;
} Needs;

static void
measure_row (const Print *print, const Row *row, guint n_columns, const Needs *needs)
{
  for (guint i = 0; !row->is_group && i < MIN (row->n_cells, n_columns); i++)
    {
      const Cell *cell = &g_array_index (print->grid->cells, Cell, row->first_cell + i);
      double wanted = 0;

      widen_to (print, cell, &wanted, &needs->least[i]);
      needs->wanted[i] = MAX (needs->wanted[i], wanted);
      needs->mean[i] += wanted;
    }
}

static void
measure_columns (const Print *print, const Needs *needs)
{
  const RakeGrid *grid = print->grid;
  guint n_rows = MIN (grid->rows->len, ROWS_MEASURED);

  for (guint i = 0; i < grid->columns->len; i++)
    {
      const Column *column = &g_array_index (grid->columns, Column, i);
      const Cell head = { column->title, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0 };

      needs->wanted[i] = needs->least[i] = NARROWEST_PT;
      if (column->title != NULL)
        widen_to (print, &head, &needs->wanted[i], &needs->least[i]);
    }
  for (guint r = 0; r < n_rows; r++)
    measure_row (print, &g_array_index (grid->rows, Row, r), grid->columns->len, needs);
  for (guint i = 0; i < grid->columns->len; i++)
    needs->mean[i] /= MAX (n_rows, 1);
}

/* Enough for everybody: the rest goes to those that take a share. */
static void
widen (const Print *print, double room, double sum)
{
  const GArray *columns = print->grid->columns;
  double shares = 0;

  for (guint i = 0; i < columns->len; i++)
    shares += g_array_index (columns, Column, i).share;
  for (guint i = 0; i < columns->len; i++)
    if (shares > 0)
      print->width[i] += (room - sum) * g_array_index (columns, Column, i).share / shares;
}

/* A column that is empty in most rows needs less than its one long text says. */
static double
get_claim (const Print *print, const Needs *needs, guint i)
{
  double share = g_array_index (print->grid->columns, Column, i).share;

  return share > 0 ? sqrt (needs->wanted[i] * needs->mean[i]) : 0;
}

/* Gives the rest by what the columns that share claim, to none more than it asks for. Returns what
 * nobody asked for. */
static double
give_shares (const Print *print, double rest, const Needs *needs)
{
  guint n_columns = print->grid->columns->len;
  double shares = 0, given = 0;

  for (guint i = 0; i < n_columns; i++)
    if (print->width[i] < needs->wanted[i])
      shares += get_claim (print, needs, i);
  for (guint i = 0; i < n_columns && shares > 0; i++)
    {
      double share = get_claim (print, needs, i);
      double more = MIN (rest * share / shares, needs->wanted[i] - print->width[i]);

      if (more <= 0)
        continue;
      print->width[i] += more;
      given += more;
    }
  return rest - given;
}

/* Too little: columns without a share keep what they ask for as long as half of the width is left to
 * the others, which have what their words need and share the rest. When not even the words fit, all
 * give up the same part and words are broken. */
static void
narrow (const Print *print, double room, const Needs *needs)
{
  const GArray *columns = print->grid->columns;
  const double *wanted = needs->wanted, *least = needs->least;
  double sum_least = 0, sum_kept = 0, sum_shared = 0;
  gboolean are_kept;

  for (guint i = 0; i < columns->len; i++)
    {
      gboolean has_share = g_array_index (columns, Column, i).share > 0;

      sum_least += least[i];
      sum_kept += has_share ? 0 : wanted[i];
      sum_shared += has_share ? least[i] : 0;
    }
  are_kept = sum_shared > 0 && sum_kept + sum_shared <= room && sum_kept <= 0.6 * room;
  for (guint i = 0; i < columns->len; i++)
    print->width[i] = are_kept && g_array_index (columns, Column, i).share <= 0 ? wanted[i]
                      : sum_least > room ? least[i] * room / sum_least
                                         : least[i];
  room -= are_kept ? sum_kept + sum_shared : MIN (sum_least, room);
  for (int i = 0; i < 4 && room > 0.01; i++)
    room = give_shares (print, room, needs);
  for (guint i = 0; i < columns->len && room > 0.01; i++)
    {
      double more = MIN (room, MAX (wanted[i] - print->width[i], 0));

      print->width[i] += more;
      room -= more;
    }
}

static void
choose_widths (Print *print)
{
  guint n = print->grid->columns->len;
  double room = print->flow->width - GAP_PT * (n - 1), sum = 0;
  g_autofree double *held = g_new0 (double, 3 * n);
  const Needs needs = { held, held + n, held + 2 * n };

  measure_columns (print, &needs);
  for (guint i = 0; i < n; i++)
    {
      print->width[i] = needs.wanted[i];
      sum += needs.wanted[i];
    }
  if (sum <= room)
    widen (print, room, sum);
  else
    narrow (print, room, &needs);
}

/* Measuring is most of the work: what was found while counting is taken again while drawing. */
static void
place_columns (Print *print)
{
  RakeFlow *flow = print->flow;
  gsize size = print->grid->columns->len * sizeof (double);
  double x = flow->left;

  if (flow->is_drawn && flow->n_tables < flow->column_widths->len)
    memcpy (print->width, flow->column_widths->pdata[flow->n_tables], size);
  else
    choose_widths (print);
  if (!flow->is_drawn)
    g_ptr_array_add (flow->column_widths, g_memdup2 (print->width, size));
  flow->n_tables++;
  for (guint i = 0; i < print->grid->columns->len; i++)
    {
      print->x[i] = x;
      x += print->width[i] + GAP_PT;
    }
}

/* --- rows ----------------------------------------------------------------------------------- */

typedef struct
{
  const Row *row;
  GPtrArray *layouts;
  guint n_lines;
} LaidRow;

static double
width_of_cell (const Print *print, const Row *row, guint index)
{
  if (row->is_group)
    return print->flow->width;
  return print->width[index];
}

static void
lay_row (const Print *print, const Row *row, LaidRow *laid)
{
  guint n_cells = row->is_group ? 1 : MIN (row->n_cells, print->grid->columns->len);

  *laid = (LaidRow){ row, g_ptr_array_new_with_free_func (g_object_unref), 1 };
  for (guint i = 0; i < n_cells; i++)
    {
      const Cell *cell = &g_array_index (print->grid->cells, Cell, row->first_cell + i);
      double width = width_of_cell (print, row, i) - sign_width (cell);
      PangoLayout *layout;

      /* While pages are counted only the lines matter. */
      if (!print->flow->is_drawn && is_one_line (print, cell, width))
        continue;
      layout = lay_cell (print, cell, width);
      g_ptr_array_add (laid->layouts, layout);
      laid->n_lines = MAX (laid->n_lines, rake_flow_count_lines (layout));
    }
}

static void
print_cell (const Print *print, const LaidRow *laid, guint index, guint first, guint n, double y)
{
  const Cell *cell = &g_array_index (print->grid->cells, Cell, laid->row->first_cell + index);
  PangoLayout *layout = laid->layouts->pdata[index];
  guint n_own = rake_flow_count_lines (layout);
  double sign = sign_width (cell), x = print->x[index];
  RakeAlign align = laid->row->is_group ? RAKE_ALIGN_LEFT
                                        : g_array_index (print->grid->columns, Column, index).align;
  const char *tag =
      laid->row->is_group || (index == 0 && (cell->flags & RAKE_CELL_STRONG)) ? "TH" : "TD";

  rake_flow_tag (print->flow, tag);
  if (first == 0)
    print_sign (print, cell, x, y);
  if (first < n_own)
    rake_flow_draw_lines (print->flow, layout, type_of_cell (print->type, cell->flags), first,
                          MIN (n, n_own - first), x + sign, y,
                          width_of_cell (print, laid->row, index) - sign, align);
  rake_flow_end_tag (print->flow, tag);
}

static void
print_lines (const Print *print, const LaidRow *laid, guint first, guint n)
{
  RakeFlow *flow = print->flow;

  rake_flow_tag (flow, "TR");
  for (guint i = 0; i < laid->layouts->len && flow->is_drawn; i++)
    print_cell (print, laid, i, first, n, flow->y + PAD_PT);
  rake_flow_end_tag (flow, "TR");
  flow->y += n * rake_type_get_leading (print->type) + 2 * PAD_PT;
}

static void
print_head (const Print *print, gboolean is_repeated)
{
  RakeFlow *flow = print->flow;
  GArray *columns = print->grid->columns;
  RakeType type = type_of_cell (print->type, RAKE_CELL_STRONG);
  guint n_lines = 1;

  if (!print->has_head)
    {
      rake_flow_rule (flow, flow->left, flow->y, flow->width, HEAD_RULE_PT);
      return;
    }
  /* A head that comes again is there for the eye alone. */
  if (!is_repeated)
    rake_flow_tag (flow, "TR");
  for (guint i = 0; i < columns->len; i++)
    {
      const Column *column = &g_array_index (columns, Column, i);
      g_autoptr (PangoLayout) layout = rake_flow_lay (flow, type, column->title, print->width[i]);

      n_lines = MAX (n_lines, rake_flow_count_lines (layout));
      if (!is_repeated)
        rake_flow_tag (flow, "TH");
      rake_flow_draw_lines (flow, layout, type, 0, rake_flow_count_lines (layout), print->x[i],
                            flow->y + PAD_PT, print->width[i], column->align);
      if (!is_repeated)
        rake_flow_end_tag (flow, "TH");
    }
  if (!is_repeated)
    rake_flow_end_tag (flow, "TR");
  flow->y += n_lines * rake_type_get_leading (type) + 2 * PAD_PT;
  rake_flow_rule (flow, flow->left, flow->y, flow->width, HEAD_RULE_PT);
}

/* The head comes again, and the line over the rows that go on. */
static void
go_over_page (const Print *print, guint index)
{
  RakeFlow *flow = print->flow;
  const Row *group = NULL;
  g_autofree char *text = NULL;
  g_autoptr (PangoLayout) layout = NULL;
  RakeType type = type_of_cell (print->type, RAKE_CELL_STRONG);

  rake_flow_break_page (flow);
  print_head (print, TRUE);
  for (guint i = index + 1; i-- > 0 && group == NULL;)
    if (g_array_index (print->grid->rows, Row, i).is_group)
      group = &g_array_index (print->grid->rows, Row, i);
  if (group == NULL || group == &g_array_index (print->grid->rows, Row, index))
    return;
  /* Translators: the name over some rows of a table that go on, on the next page. */
  text = g_strdup_printf (_ ("%s, continued"),
                          g_array_index (print->grid->cells, Cell, group->first_cell).text);
  layout = rake_flow_lay (flow, type, text, flow->width);
  rake_flow_draw_lines (flow, layout, type, 0, 1, flow->left, flow->y + PAD_PT, flow->width,
                        RAKE_ALIGN_LEFT);
  flow->y += rake_type_get_leading (type) + 2 * PAD_PT;
  rake_flow_hairline (flow, flow->left, flow->y, flow->width);
}

static double
row_height (const Print *print, guint n_lines)
{
  return n_lines * rake_type_get_leading (print->type) + 2 * PAD_PT;
}

/* A row half a page high is parted where the page ends. */
static void
print_long_row (const Print *print, const LaidRow *laid, guint index)
{
  RakeFlow *flow = print->flow;
  double leading = rake_type_get_leading (print->type);

  for (guint first = 0; first < laid->n_lines && !flow->is_stopped;)
    {
      double room = floor ((flow->bottom - flow->y - 2 * PAD_PT) / leading + 1e-6);
      guint n = room >= 2 ? MIN ((guint) room, laid->n_lines - first) : 0;

      if (n > 0)
        print_lines (print, laid, first, n);
      first += n;
      if (first < laid->n_lines)
        go_over_page (print, index);
    }
}

/* A group's line wants its first row below it. */
static double
room_for_next (const Print *print, guint index)
{
  const GArray *rows = print->grid->rows;

  if (!g_array_index (rows, Row, index).is_group || index + 1 >= rows->len)
    return 0;
  return row_height (print, 2);
}

static void
print_row (const Print *print, guint index)
{
  RakeFlow *flow = print->flow;
  const Row *row = &g_array_index (print->grid->rows, Row, index);
  LaidRow laid;
  double height;

  lay_row (print, row, &laid);
  height = row_height (print, laid.n_lines);
  if (row->is_group && index > 0)
    flow->y += 4;
  if (flow->y + height + room_for_next (print, index) > flow->bottom &&
      height < (flow->bottom - flow->top) / 2)
    go_over_page (print, index);
  if (height < (flow->bottom - flow->top) / 2)
    print_lines (print, &laid, 0, laid.n_lines);
  else
    print_long_row (print, &laid, index);
  rake_flow_hairline (flow, flow->left, flow->y, flow->width);
  g_ptr_array_unref (laid.layouts);
}

/* A column of nothing but dashes tells less than it takes up. */
static gboolean
is_idle (const RakeGrid *grid, guint column)
{
  for (guint r = 0; r < grid->rows->len; r++)
    {
      const Row *row = &g_array_index (grid->rows, Row, r);
      const Cell *cell = &g_array_index (grid->cells, Cell, row->first_cell + column);

      if (!row->is_group && column < row->n_cells && *cell->text != '\0' &&
          !g_str_equal (cell->text, DASH))
        return FALSE;
    }
  return TRUE;
}

static void
add_without (RakeGrid *lean, const RakeGrid *grid, const Row *row, const gboolean *idle)
{
  Row copy = { lean->cells->len, 0, row->is_group };

  for (guint i = 0; i < row->n_cells; i++)
    {
      Cell cell = g_array_index (grid->cells, Cell, row->first_cell + i);

      if (!row->is_group && i < grid->columns->len && idle[i])
        continue;
      cell.text = g_strdup (cell.text);
      g_array_append_val (lean->cells, cell);
      copy.n_cells++;
    }
  g_array_append_val (lean->rows, copy);
}

static RakeGrid *
new_without_idle (const RakeGrid *grid)
{
  RakeGrid *lean = rake_grid_new ();
  g_autofree gboolean *idle = g_new0 (gboolean, grid->columns->len);

  for (guint i = 0; i < grid->columns->len; i++)
    {
      const Column *column = &g_array_index (grid->columns, Column, i);

      idle[i] = is_idle (grid, i);
      if (!idle[i])
        rake_grid_add_column (lean, column->title, column->align, column->share);
    }
  for (guint r = 0; r < grid->rows->len; r++)
    add_without (lean, grid, &g_array_index (grid->rows, Row, r), idle);
  return lean;
}

static void
print_grid (RakeFlow *flow, const RakeGrid *grid, RakeType type)
{
  guint n = grid->columns->len;
  g_autofree double *x = g_new0 (double, n), *width = g_new0 (double, n);
  Print print = { flow, grid, type, x, width, FALSE };

  if (flow->is_stopped || grid->rows->len == 0 || n == 0)
    return;
  for (guint i = 0; i < n; i++)
    print.has_head |= g_array_index (grid->columns, Column, i).title != NULL;
  place_columns (&print);
  rake_flow_need (flow, row_height (&print, 2) + (print.has_head ? row_height (&print, 1) : 0));
  rake_flow_tag (flow, "Table");
  print_head (&print, FALSE);
  for (guint i = 0; i < grid->rows->len && !flow->is_stopped; i++)
    print_row (&print, i);
  rake_flow_end_tag (flow, "Table");
  rake_flow_space (flow, 9);
}

void
rake_flow_grid (RakeFlow *flow, const RakeGrid *grid, RakeType type)
{
  g_autoptr (RakeGrid) lean = new_without_idle (grid);

  print_grid (flow, lean, type);
}
