/* pdf-finish.c - see pdf-finish.h. ISO 32000-1: 7.5.6 incremental updates, 14.9.2 Lang, 14.9.3 Alt. */
#include "pdf-finish.h"

#include <string.h>

#define XREF_ENTRY 20 /* bytes of a line in the table of objects */
#define TAIL_BYTES 1024 /* the trailer is within so much of the end */
#define CATALOG "<< /Type /Catalog\n"
#define FIGURE "<< /Type /StructElem\n   /S /Figure\n"

typedef struct
{
  const char *bytes;
  gsize n_bytes;
  gsize xref;        /* where the table is */
  guint n_objects;
  guint root, info;  /* numbers of objects */
  const char *table; /* the first line of the table */
} Pdf;

typedef struct
{
  RakeWholeFile *file;
  gsize at;
  GString *table;
} Update;

/* --- reading --------------------------------------------------------------------------------- */

/* Backwards from the end, where there are no zero bytes yet: g_strrstr_len() would stop at the first. */
static const char *
find_last (const Pdf *pdf, const char *word)
{
  gsize length = strlen (word);

  for (gsize at = pdf->n_bytes - length; at + TAIL_BYTES > pdf->n_bytes && at > 0; at--)
    if (memcmp (pdf->bytes + at, word, length) == 0)
      return pdf->bytes + at;
  return NULL;
}

static gboolean
read_number_after (const Pdf *pdf, const char *from, const char *word, guint64 *number)
{
  const char *end = pdf->bytes + pdf->n_bytes;
  const char *at = from != NULL ? g_strstr_len (from, end - from, word) : NULL;

  if (at == NULL)
    return FALSE;
  *number = 0;
  for (at += strlen (word); at < end && g_ascii_isdigit (*at); at++)
    *number = *number * 10 + (guint64) (*at - '0');
  return TRUE;
}

static gboolean
read_pdf (Pdf *pdf)
{
  static const char head[] = "xref\n0 ";
  guint64 xref, n_objects, root, info;
  const char *trailer;

  if (pdf->n_bytes < 64 ||
      !read_number_after (pdf, find_last (pdf, "startxref\n"), "startxref\n", &xref) ||
      xref + sizeof head > pdf->n_bytes || strncmp (pdf->bytes + xref, head, strlen (head)) != 0)
    return FALSE;
  trailer = find_last (pdf, "trailer\n");
  if (!read_number_after (pdf, trailer, "/Size ", &n_objects) ||
      !read_number_after (pdf, trailer, "/Root ", &root) ||
      !read_number_after (pdf, trailer, "/Info ", &info))
    return FALSE;
  pdf->table =
      memchr (pdf->bytes + xref + strlen (head), '\n', pdf->n_bytes - xref - strlen (head));
  if (pdf->table == NULL || n_objects > G_MAXINT ||
      ++pdf->table + n_objects * XREF_ENTRY > pdf->bytes + pdf->n_bytes)
    return FALSE;
  pdf->xref = xref;
  pdf->n_objects = (guint) n_objects;
  pdf->root = (guint) root;
  pdf->info = (guint) info;
  return TRUE;
}

/* What stands between "N 0 obj" and "endobj", when it begins with @begins; NULL else. */
static const char *
find_object (const Pdf *pdf, guint number, const char *begins, gsize *length)
{
  guint64 offset = g_ascii_strtoull (pdf->table + (gsize) number * XREF_ENTRY, NULL, 10);
  const char *end = pdf->bytes + pdf->n_bytes, *at, *tail;

  if (number >= pdf->n_objects || offset >= pdf->n_bytes)
    return NULL;
  at = memchr (pdf->bytes + offset, '\n', pdf->n_bytes - offset);
  if (at == NULL || (gsize) (end - ++at) < strlen (begins) ||
      strncmp (at, begins, strlen (begins)) != 0)
    return NULL;
  tail = g_strstr_len (at, end - at, "\nendobj");
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
write_catalog (Update *update, const Pdf *pdf, const char *language)
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

static guint
count_figures (const Pdf *pdf)
{
  guint n = 0;
  gsize length;

  for (guint i = 1; i < pdf->n_objects; i++)
    n += find_object (pdf, i, FIGURE, &length) != NULL;
  return n;
}

static void
write_figures (Update *update, const Pdf *pdf, GPtrArray *alternatives)
{
  guint n = 0;
  gsize length;

  for (guint i = 1; i < pdf->n_objects && n < alternatives->len; i++)
    {
      const char *figure = find_object (pdf, i, FIGURE, &length);
      g_autofree char *text = NULL, *more = NULL;

      if (figure == NULL)
        continue;
      text = new_pdf_text (alternatives->pdata[n++]);
      more = g_strdup_printf ("   /Alt %s\n", text);
      write_object (update, i, figure, length, FIGURE, more);
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
  g_autoptr (GMappedFile) map = rake_whole_file_map (file);
  g_autoptr (GString) table = g_string_new (NULL);
  Pdf pdf = { 0 };
  Update update = { file, 0, table };

  if (map == NULL)
    return FALSE;
  pdf.bytes = g_mapped_file_get_contents (map);
  pdf.n_bytes = g_mapped_file_get_length (map);
  update.at = pdf.n_bytes;
  if (pdf.bytes == NULL || !read_pdf (&pdf) || !write_catalog (&update, &pdf, language))
    return FALSE;
  /* One for one, or they would tell the wrong picture. */
  if (count_figures (&pdf) == alternatives->len)
    write_figures (&update, &pdf, alternatives);
  write_end (&update, &pdf);
  return TRUE;
}
