/* pdf-finish.c - see pdf-finish.h. ISO 32000-1: 7.5.6 incremental updates, 14.9.2 Lang, 14.9.3 Alt. */
#include "pdf-finish.h"

#include <string.h>

#define XREF_ENTRY 20 /* bytes of a line in the table of objects */
#define TAIL_BYTES 1024 /* the trailer is within so much of the end */
#define OBJECT_BYTES 4096 /* more than a catalogue or a picture's tag takes */
#define PEEK_BYTES 96
#define CATALOG "<< /Type /Catalog\n"
#define FIGURE "<< /Type /StructElem\n   /S /Figure\n"

typedef struct
{
  RakeWholeFile *file;
  gsize xref;      /* where the table of objects is */
  guint n_objects;
  guint root, info; /* numbers of objects */
  char *table;     /* from its first line on */
  char object[OBJECT_BYTES + 1];
} Pdf;

typedef struct
{
  RakeWholeFile *file;
  gsize at;
  GString *table;
} Update;

/* --- reading --------------------------------------------------------------------------------- */

static gboolean
read_number_after (const char *from, const char *word, guint64 *number)
{
  const char *at = from != NULL ? strstr (from, word) : NULL;

  if (at == NULL || !g_ascii_isdigit (at[strlen (word)]))
    return FALSE;
  *number = g_ascii_strtoull (at + strlen (word), NULL, 10);
  return TRUE;
}

/* As text that ends with a zero byte; what is before the trailer may have others. */
static const char *
find_trailer (char *tail, gsize length)
{
  for (gsize i = 0; i < length; i++)
    if (tail[i] == '\0')
      tail[i] = ' ';
  tail[length] = '\0';
  return g_strrstr (tail, "trailer\n");
}

static gboolean
read_table (Pdf *pdf)
{
  static const char head[] = "xref\n0 ";
  char line[64] = "";
  const char *end;
  gsize from, length = (gsize) pdf->n_objects * XREF_ENTRY;

  rake_whole_file_read (pdf->file, pdf->xref, line, sizeof line - 1);
  end = strchr (line + MIN (strlen (head), strlen (line)), '\n');
  if (!g_str_has_prefix (line, head) || end == NULL)
    return FALSE;
  from = pdf->xref + (gsize) (end + 1 - line);
  if (from + length > rake_whole_file_get_length (pdf->file))
    return FALSE;
  pdf->table = g_malloc (length + 1);
  pdf->table[length] = '\0';
  return rake_whole_file_read (pdf->file, from, pdf->table, length) == length;
}

static gboolean
read_pdf (Pdf *pdf)
{
  char tail[TAIL_BYTES + 1];
  gsize length = rake_whole_file_get_length (pdf->file), n = MIN (length, TAIL_BYTES);
  guint64 xref, n_objects, root, info;
  const char *trailer;

  n = rake_whole_file_read (pdf->file, length - n, tail, n);
  trailer = find_trailer (tail, n);
  if (!read_number_after (trailer, "startxref\n", &xref) ||
      !read_number_after (trailer, "/Size ", &n_objects) ||
      !read_number_after (trailer, "/Root ", &root) ||
      !read_number_after (trailer, "/Info ", &info) || xref >= length || n_objects > G_MAXINT)
    return FALSE;
  pdf->xref = xref;
  pdf->n_objects = (guint) n_objects;
  pdf->root = (guint) root;
  pdf->info = (guint) info;
  return read_table (pdf);
}

/* What stands between "N 0 obj" and "endobj", when it begins with @begins; NULL else. Good until the next
 * one is asked for. */
static const char *
find_object (Pdf *pdf, guint number, const char *begins, gsize *length)
{
  guint64 offset;
  const char *at, *tail;
  gsize n;

  if (number >= pdf->n_objects)
    return NULL;
  offset = g_ascii_strtoull (pdf->table + (gsize) number * XREF_ENTRY, NULL, 10);
  /* Most objects are none of ours: their beginning is enough. */
  n = rake_whole_file_read (pdf->file, offset, pdf->object, PEEK_BYTES);
  pdf->object[n] = '\0';
  at = strchr (pdf->object, '\n');
  if (at == NULL || !g_str_has_prefix (++at, begins))
    return NULL;
  n = rake_whole_file_read (pdf->file, offset, pdf->object, OBJECT_BYTES);
  pdf->object[n] = '\0';
  tail = strstr (at, "\nendobj");
  if (tail == NULL)
    return NULL;
  *length = (gsize) (tail + 1 - at);
  return at;
}

/* --- writing --------------------------------------------------------------------------------- */

static void
write_text (Update *update, const char *text)
{
  rake_whole_file_write (update->file, text, strlen (text));
  update->at += strlen (text);
}

/* The object again, with @more after the words it begins with. */
static void
write_object (Update *update, guint number, const char *object, gsize length, const char *begins,
              const char *more)
{
  gsize head = strlen (begins);
  g_autofree char *text = g_strdup_printf ("%u 0 obj\n%s%s%.*sendobj\n", number, begins, more,
                                           (int) (length - head), object + head);

  g_string_append_printf (update->table, "%u 1\n%010" G_GSIZE_FORMAT " 00000 n \n", number,
                          update->at);
  write_text (update, text);
}

/* A text as PDF has it whatever its letters: UTF-16, in hexadecimal digits. */
static char *
new_pdf_text (const char *text)
{
  GString *hex = g_string_new ("<FEFF");
  glong n_units = 0;
  g_autofree gunichar2 *units = g_utf8_to_utf16 (text, -1, NULL, &n_units, NULL);

  for (glong i = 0; units != NULL && i < n_units; i++)
    g_string_append_printf (hex, "%04X", units[i]);
  g_string_append_c (hex, '>');
  return g_string_free (hex, FALSE);
}

static gboolean
is_language (const char *language)
{
  if (language == NULL || *language == '\0')
    return FALSE;
  for (const char *at = language; *at != '\0'; at++)
    if (!g_ascii_isalnum (*at) && *at != '-')
      return FALSE;
  return TRUE;
}

static gboolean
write_catalog (Update *update, Pdf *pdf, const char *language)
{
  gsize length;
  const char *catalog = find_object (pdf, pdf->root, CATALOG, &length);
  g_autofree char *more =
      g_strdup_printf ("   /ViewerPreferences << /DisplayDocTitle true >>\n%s%s%s",
                       is_language (language) ? "   /Lang (" : "",
                       is_language (language) ? language : "", is_language (language) ? ")\n" : "");

  if (catalog == NULL)
    return FALSE;
  write_object (update, pdf->root, catalog, length, CATALOG, more);
  return TRUE;
}

static GArray *
find_figures (Pdf *pdf)
{
  GArray *figures = g_array_new (FALSE, FALSE, sizeof (guint));
  gsize length;

  for (guint i = 1; i < pdf->n_objects; i++)
    if (find_object (pdf, i, FIGURE, &length) != NULL)
      g_array_append_val (figures, i);
  return figures;
}

static void
write_figures (Update *update, Pdf *pdf, GPtrArray *alternatives)
{
  g_autoptr (GArray) figures = find_figures (pdf);

  /* One for one, or they would tell the wrong picture. */
  for (guint i = 0; i < figures->len && figures->len == alternatives->len; i++)
    {
      guint number = g_array_index (figures, guint, i);
      gsize length;
      const char *figure = find_object (pdf, number, FIGURE, &length);
      g_autofree char *text = new_pdf_text (alternatives->pdata[i]);
      g_autofree char *more = g_strdup_printf ("   /Alt %s\n", text);

      if (figure != NULL)
        write_object (update, number, figure, length, FIGURE, more);
    }
}

static void
write_end (Update *update, const Pdf *pdf)
{
  gsize xref = update->at;
  g_autofree char *trailer = g_strdup_printf (
      "trailer\n<< /Size %u\n   /Root %u 0 R\n   /Info %u 0 R\n   /Prev %" G_GSIZE_FORMAT
      "\n>>\nstartxref\n%" G_GSIZE_FORMAT "\n%%%%EOF\n",
      pdf->n_objects, pdf->root, pdf->info, pdf->xref, xref);

  write_text (update, "xref\n");
  write_text (update, update->table->str);
  write_text (update, trailer);
}

gboolean
rake_pdf_finish (RakeWholeFile *file, const char *language, GPtrArray *alternatives)
{
  g_autoptr (GString) table = g_string_new (NULL);
  g_autofree char *objects = NULL;
  Pdf pdf = { .file = file };
  Update update = { file, rake_whole_file_get_length (file), table };
  gboolean is_read = read_pdf (&pdf);

  objects = pdf.table;
  if (!is_read || !write_catalog (&update, &pdf, language))
    return FALSE;
  write_figures (&update, &pdf, alternatives);
  write_end (&update, &pdf);
  return TRUE;
}
