/* text-width.h - how wide texts are, word by word, and layouts that come again. Private to src/report.
 *
 * Laying out is most of a report's work, and its tables are made of the same words over and over. */
#pragma once
#include "flow.h"

/* What a text asks for on one line, and the least it can do with: its longest word. Points. */
typedef struct
{
  double wanted, least;
} RakeTextWidth;

/* Added up from the words; a little more than the line takes, whatever the letters do to each other
 * over a space. */
RakeTextWidth rake_flow_measure (RakeFlow *flow, RakeType type, const char *text);

/* A line of text that may have been laid before: not to be changed. Free with g_object_unref(). */
PangoLayout *rake_flow_lay_line (RakeFlow *flow, RakeType type, const char *text);
