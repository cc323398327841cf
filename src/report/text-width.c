/* text-width.c - see text-width.h. */
#include "text-width.h"

#include <string.h>

#define SPARE_PT 0.4
#define MOST_LINES 512 /* kept, of some kilobytes each */

/* Where it might be broken, as far as is seen at once: then its parts are looked at. */
static gboolean
is_whole (const char *word)
{
  for (const char *at = word; *at != '\0'; at++)
    if (!g_ascii_isalnum (*at) && strchr (".,:", *at) == NULL)
      return FALSE;
  return TRUE;
}

static const RakeTextWidth *
measure_word (RakeFlow *flow, RakeType type, const char *word)
{
  RakeTextWidth *width = g_hash_table_lookup (flow->words[type], word);
  g_autoptr (PangoLayout) layout = NULL;

  if (width != NULL)
    return width;
  layout = rake_flow_lay (flow, type, word, -1);
  width = g_new (RakeTextWidth, 1);
  width->wanted = width->least = rake_flow_get_width (layout);
  if (!is_whole (word))
    {
      pango_layout_set_wrap (layout, PANGO_WRAP_WORD);
      pango_layout_set_width (layout, 1);
      width->least = rake_flow_get_width (layout);
    }
  g_hash_table_insert (flow->words[type], g_strdup (word), width);
  return width;
}

RakeTextWidth
rake_flow_measure (RakeFlow *flow, RakeType type, const char *text)
{
  RakeTextWidth sum = { 0, 0 };
  g_autofree char *words = g_strdup (text);
  double space = measure_word (flow, type, " ")->wanted, line = 0;

  for (char *word = words; word != NULL;)
    {
      char *end = word + strcspn (word, " \n"), ends_with = *end;
      const RakeTextWidth *width;

      *end = '\0';
      width = measure_word (flow, type, word);
      line += width->wanted;
      sum.wanted = MAX (sum.wanted, line);
      sum.least = MAX (sum.least, width->least);
      line = ends_with == '\n' ? 0 : line + space;
      word = ends_with == '\0' ? NULL : end + 1;
    }
  sum.wanted += SPARE_PT;
  sum.least += SPARE_PT;
  return sum;
}

PangoLayout *
rake_flow_lay_line (RakeFlow *flow, RakeType type, const char *text)
{
  PangoLayout *layout = g_hash_table_lookup (flow->lines[type], text);

  if (layout != NULL)
    return g_object_ref (layout);
  if (g_hash_table_size (flow->lines[type]) >= MOST_LINES)
    g_hash_table_remove_all (flow->lines[type]);
  layout = rake_flow_lay (flow, type, text, -1);
  g_hash_table_insert (flow->lines[type], g_strdup (text), g_object_ref (layout));
  return layout;
}
