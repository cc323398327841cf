/* svg-style.c - the few properties that decide what of a drawing is there, and where.
 *
 * A style sheet's selectors are not followed. Most sheets only colour; one that would hide, cut or
 * move a shape is refused, since passing it over would give a wrong outline in silence. */
#include <string.h>

#include "i18n.h"
#include "svg-private.h"

static const struct
{
  const char *name;
  RakeSvgPropertyKind kind;
} properties[] = {
  { "display", RAKE_SVG_DISPLAY },
  { "visibility", RAKE_SVG_VISIBILITY },
  { "overflow", RAKE_SVG_OVERFLOW },
  { "clip-path", RAKE_SVG_CUT },
  { "mask", RAKE_SVG_CUT },
  /* In a style these stand before the attribute of that name, or are none. */
  { "transform", RAKE_SVG_PLACE },
  { "translate", RAKE_SVG_PLACE },
  { "rotate", RAKE_SVG_PLACE },
  { "scale", RAKE_SVG_PLACE },
  /* What a transform turns about. */
  { "transform-origin", RAKE_SVG_TURN },
  { "transform-box", RAKE_SVG_TURN },
  { "d", RAKE_SVG_MEASURE },
  { "x", RAKE_SVG_MEASURE },
  { "y", RAKE_SVG_MEASURE },
  { "width", RAKE_SVG_MEASURE },
  { "height", RAKE_SVG_MEASURE },
  { "cx", RAKE_SVG_MEASURE },
  { "cy", RAKE_SVG_MEASURE },
  { "r", RAKE_SVG_MEASURE },
  { "rx", RAKE_SVG_MEASURE },
  { "ry", RAKE_SVG_MEASURE },
};

static char *
remove_comments (const char *css)
{
  GString *text = g_string_new (NULL);
  const char *comment;

  while ((comment = strstr (css, "/*")) != NULL)
    {
      const char *end = strstr (comment + 2, "*/");
      g_string_append_len (text, css, comment - css);
      css = end != NULL ? end + 2 : comment + strlen (comment);
    }
  return g_string_free (g_string_append (text, css), FALSE);
}

/* "name: value" parted, without room around; FALSE when it is none. */
static gboolean
split_declaration (char *declaration, const char **name, const char **value)
{
  char *colon = strchr (declaration, ':');

  if (colon == NULL)
    return FALSE;
  *colon = '\0';
  *name = g_strstrip (declaration);
  *value = g_strstrip (colon + 1);
  return TRUE;
}

/* "!important" may follow. */
static gboolean
begins_with (const char *value, const char *word)
{
  return g_ascii_strncasecmp (value, word, strlen (word)) == 0;
}

/* TRUE when the property hides, cuts, moves or measures with this value. */
static gboolean
has_effect (RakeSvgPropertyKind kind, const char *value)
{
  switch (kind)
    {
    case RAKE_SVG_DISPLAY:
      return begins_with (value, "none");
    case RAKE_SVG_VISIBILITY:
      return begins_with (value, "hidden") || begins_with (value, "collapse");
    case RAKE_SVG_OVERFLOW:
      return begins_with (value, "visible") || begins_with (value, "auto");
    case RAKE_SVG_MEASURE:
      return TRUE;
    case RAKE_SVG_CUT:
    case RAKE_SVG_PLACE:
    case RAKE_SVG_TURN:
    default:
      return !begins_with (value, "none");
    }
}

/* Where it stands in the table, or -1. */
static int
find_property (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (properties); i++)
    if (g_ascii_strcasecmp (name, properties[i].name) == 0)
      return (int) i;
  return -1;
}

static void
set_property (RakeSvgStyle *style, int property, const char *value)
{
  guint bit = 1u << property;
  gboolean is_inherited = begins_with (value, "inherit");

  style->said = is_inherited ? style->said & ~bit : style->said | bit;
  style->effective = !is_inherited && has_effect (properties[property].kind, value)
                         ? style->effective | bit
                         : style->effective & ~bit;
}

RakeSvgStyle
rake_svg_read_style (const char *const *names, const char *const *values)
{
  RakeSvgStyle style = { 0, 0 };
  const char *css = NULL, *name, *value;
  g_auto (GStrv) declarations = NULL;
  g_autofree char *text = NULL;

  for (guint i = 0; names[i] != NULL; i++)
    {
      int property = find_property (names[i]);
      if (strcmp (names[i], "style") == 0)
        css = values[i];
      /* The attributes that place and measure are read where they belong. */
      else if (property >= 0 && properties[property].kind != RAKE_SVG_PLACE &&
               properties[property].kind != RAKE_SVG_MEASURE)
        set_property (&style, property, values[i]);
    }
  if (css == NULL)
    return style;
  text = remove_comments (css);
  declarations = g_strsplit (text, ";", -1);
  for (guint i = 0; declarations[i] != NULL; i++)
    if (split_declaration (declarations[i], &name, &value) && find_property (name) >= 0)
      set_property (&style, find_property (name), value);
  return style;
}

const char *
rake_svg_style_find (RakeSvgStyle style, RakeSvgPropertyKind kind, gboolean is_effective)
{
  guint bits = is_effective ? style.effective : style.said;

  for (gsize i = 0; i < G_N_ELEMENTS (properties); i++)
    if (properties[i].kind == kind && (bits & 1u << i) != 0)
      return properties[i].name;
  return NULL;
}

gboolean
rake_svg_check_style_sheets (const char *css, GError **error)
{
  g_autofree char *text = remove_comments (css);
  g_auto (GStrv) pieces = g_strsplit_set (text, "{};", -1);
  const char *name, *value;

  for (guint i = 0; pieces[i] != NULL; i++)
    {
      int property = split_declaration (pieces[i], &name, &value) ? find_property (name) : -1;
      if (property < 0 || properties[property].kind == RAKE_SVG_OVERFLOW ||
          !has_effect (properties[property].kind, value))
        continue;
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ,
                   _ ("The drawing has a style sheet with “%s”, which is not read: let the drawing "
                      "program save styles as attributes instead."),
                   properties[property].name);
      return FALSE;
    }
  return TRUE;
}
