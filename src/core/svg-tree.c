/* svg-tree.c - the text of a drawing as a tree of elements, since "use" may name what comes later.
 *
 * No link is followed and no entity expanded, so a drawing cannot make us open a file or grow
 * without end. Of the words in it only those of style sheets are kept. */
#include <string.h>

#include "i18n.h"
#include "svg-private.h"

typedef struct
{
  RakeSvgTree *tree;
  GPtrArray *open; /* of RakeSvgNode, the outermost first */
  guint n_nodes;
} Parser;

static void
free_node (RakeSvgNode *node)
{
  if (node == NULL)
    return;
  g_free (node->name);
  g_strfreev (node->names);
  g_strfreev (node->values);
  g_ptr_array_unref (node->children);
  g_free (node);
}

static RakeSvgNode *
new_node (const char *name, const char *const *names, const char *const *values)
{
  RakeSvgNode *node = g_new0 (RakeSvgNode, 1);

  node->name = g_strdup (g_str_has_prefix (name, "svg:") ? name + 4 : name);
  node->names = g_strdupv ((char **) (gpointer) names);
  node->values = g_strdupv ((char **) (gpointer) values);
  node->n_bytes = strlen (name);
  for (guint i = 0; names[i] != NULL; i++)
    node->n_bytes += strlen (names[i]) + strlen (values[i]);
  node->style = rake_svg_read_style (names, values);
  node->children = g_ptr_array_new_with_free_func ((GDestroyNotify) free_node);
  return node;
}

static gboolean
check_element (const Parser *parser, const RakeSvgNode *node, GError **error)
{
  g_autofree char *name = rake_svg_shorten (node->name);

  if (parser->open->len == 0 && strcmp (node->name, "svg") != 0)
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                 _ ("This is not an SVG drawing: it begins with “%s”."), name);
  else if (parser->open->len >= RAKE_SVG_DEEPEST)
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                 _ ("The drawing is nested more than %d deep."), RAKE_SVG_DEEPEST);
  else
    return rake_svg_check_n_elements (parser->n_nodes, error);
  return FALSE;
}

static void
start_element (GMarkupParseContext *context, const char *name, const char **names,
               const char **values, gpointer data, GError **error)
{
  Parser *parser = data;
  RakeSvgNode *node = new_node (name, names, values);
  const char *id = rake_svg_node_get (node, "id");

  if (parser->open->len == 0)
    {
      free_node (parser->tree->root);
      parser->tree->root = node;
    }
  else
    {
      RakeSvgNode *parent = parser->open->pdata[parser->open->len - 1];
      g_ptr_array_add (parent->children, node);
    }
  parser->n_nodes++;
  if (!check_element (parser, node, error))
    return;
  g_ptr_array_add (parser->open, node);
  /* The first of an id is the one meant. */
  if (id != NULL && !g_hash_table_contains (parser->tree->by_id, id))
    g_hash_table_insert (parser->tree->by_id, (gpointer) id, node);
}

static void
end_element (GMarkupParseContext *context, const char *name, gpointer data, GError **error)
{
  Parser *parser = data;

  g_ptr_array_set_size (parser->open, (int) parser->open->len - 1);
}

static void
keep_style (const Parser *parser, const char *text, gsize length)
{
  const RakeSvgNode *node =
      parser->open->len > 0 ? parser->open->pdata[parser->open->len - 1] : NULL;

  if (node != NULL && strcmp (node->name, "style") == 0)
    g_string_append_len (parser->tree->style_sheets, text, (gssize) length);
}

static void
take_text (GMarkupParseContext *context, const char *text, gsize length, gpointer data,
           GError **error)
{
  keep_style (data, text, length);
}

/* Comments, processing instructions, CDATA and the document type come here. */
static void
take_passthrough (GMarkupParseContext *context, const char *text, gsize length, gpointer data,
                  GError **error)
{
  /* A document type may declare entities that stand for files, or for each other a billion times
   * over. GMarkup expands none; say plainly why the drawing will not do. */
  if (length >= 9 && g_ascii_strncasecmp (text, "<!DOCTYPE", 9) == 0 &&
      memchr (text, '[', length) != NULL)
    g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                         _ ("The drawing declares entities of its own: save it as plain SVG."));
  else if (length >= 12 && strncmp (text, "<![CDATA[", 9) == 0)
    keep_style (data, text + 9, length - 12);
}

static gboolean
parse (Parser *parser, const char *svg, gsize length, GError **error)
{
  static const GMarkupParser functions = { start_element, end_element, take_text,
                                           take_passthrough, NULL };
  g_autoptr (GMarkupParseContext) context =
      g_markup_parse_context_new (&functions, 0, parser, NULL);
  g_autoptr (GError) failure = NULL;

  if (g_markup_parse_context_parse (context, svg, (gssize) length, &failure) &&
      g_markup_parse_context_end_parse (context, &failure))
    return TRUE;
  if (failure->domain == G_MARKUP_ERROR)
    g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                 _ ("This is not an SVG drawing that can be read: %s"), failure->message);
  else
    g_propagate_error (error, g_steal_pointer (&failure));
  return FALSE;
}

RakeSvgTree *
rake_svg_tree_new (const char *svg, gsize length, GError **error)
{
  g_autoptr (RakeSvgTree) tree = g_new0 (RakeSvgTree, 1);
  g_autoptr (GPtrArray) open = g_ptr_array_new ();
  Parser parser = { .tree = tree, .open = open };

  tree->by_id = g_hash_table_new (g_str_hash, g_str_equal);
  tree->style_sheets = g_string_new (NULL);
  /* The mark some editors begin with is no part of the text. */
  if (length >= 3 && memcmp (svg, "\xef\xbb\xbf", 3) == 0)
    {
      svg += 3;
      length -= 3;
    }
  /* GMarkup meets bad bytes only after it has read what stands before them, and then reports two
   * errors for one. */
  if (!g_utf8_validate_len (svg, length, NULL))
    {
      g_set_error_literal (
          error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
          _ ("This is not an SVG drawing that can be read: it is not UTF-8 text."));
      return NULL;
    }
  return parse (&parser, svg, length, error) ? g_steal_pointer (&tree) : NULL;
}

void
rake_svg_tree_free (RakeSvgTree *tree)
{
  free_node (tree->root);
  g_hash_table_unref (tree->by_id);
  g_string_free (tree->style_sheets, TRUE);
  g_free (tree);
}

const char *
rake_svg_node_get (const RakeSvgNode *node, const char *name)
{
  for (guint i = 0; node->names[i] != NULL; i++)
    if (strcmp (node->names[i], name) == 0)
      return node->values[i];
  return NULL;
}

const char *
rake_svg_node_get_link (const RakeSvgNode *node)
{
  const char *link = rake_svg_node_get (node, "href");

  /* The older way, by a prefix that the drawing may choose. */
  for (guint i = 0; link == NULL && node->names[i] != NULL; i++)
    if (g_str_has_suffix (node->names[i], ":href"))
      link = node->values[i];
  return link;
}

RakeSvgNode *
rake_svg_tree_find (const RakeSvgTree *tree, const char *id)
{
  return g_hash_table_lookup (tree->by_id, id);
}

gboolean
rake_svg_check_n_elements (guint n_elements, GError **error)
{
  if (n_elements <= RAKE_SVG_MOST_ELEMENTS)
    return TRUE;
  g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
               _ ("The drawing has more than %d elements: save only the outline and its holes."),
               RAKE_SVG_MOST_ELEMENTS);
  return FALSE;
}
