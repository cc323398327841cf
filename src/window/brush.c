/* brush.c - the brushes by their words. */
#include "brush-bar.h"

static const struct
{
  const char *word;
  RakeMarkKind mark; /* UNSAID: the brush "uniform" */
} brushes[] = {
  { "low-spot", RAKE_MARK_LOW_SPOT },
  { "uniform", RAKE_MARK_UNSAID },
  { "scratch", RAKE_MARK_SCRATCH },
  { "witness-line", RAKE_MARK_WITNESS_LINE },
  { "burn", RAKE_MARK_BURN },
  { "sand-through", RAKE_MARK_SAND_THROUGH },
  { "run", RAKE_MARK_RUN },
  { "nib", RAKE_MARK_NIB },
  { "crater", RAKE_MARK_CRATER },
  { "pinhole", RAKE_MARK_PINHOLE },
  { "lifting", RAKE_MARK_LIFTING },
  { "imprint", RAKE_MARK_IMPRINT },
  { "shrink-back", RAKE_MARK_SHRINK_BACK },
  { "swirl", RAKE_MARK_SWIRL },
  { "dull-spot", RAKE_MARK_DULL_SPOT },
};

const char *
rake_brush_get_word (guint index)
{
  return index < G_N_ELEMENTS (brushes) ? brushes[index].word : NULL;
}

const char *
rake_brush_find_word (const RakeBench *bench)
{
  for (guint i = 0; i < G_N_ELEMENTS (brushes); i++)
    if (bench->brush_is_uniform
            ? brushes[i].mark == RAKE_MARK_UNSAID
            : bench->brush != RAKE_MARK_UNSAID && brushes[i].mark == bench->brush)
      return brushes[i].word;
  return "none";
}

void
rake_brush_take (RakeBench *bench, const char *word)
{
  bench->brush = RAKE_MARK_UNSAID;
  bench->brush_is_uniform = FALSE;
  for (guint i = 0; i < G_N_ELEMENTS (brushes); i++)
    if (g_strcmp0 (word, brushes[i].word) == 0)
      {
        bench->brush = brushes[i].mark;
        bench->brush_is_uniform = brushes[i].mark == RAKE_MARK_UNSAID;
      }
}

RakeState
rake_brush_get_state (const RakeBench *bench)
{
  if (bench->brush_is_uniform)
    return RAKE_STATE_UNIFORM;
  switch (bench->brush)
    {
    case RAKE_MARK_LOW_SPOT:
      return RAKE_STATE_LOW_SPOT;
    case RAKE_MARK_SCRATCH:
      return RAKE_STATE_SCRATCH;
    case RAKE_MARK_WITNESS_LINE:
      return RAKE_STATE_WITNESS_LINE;
    case RAKE_MARK_BURN:
      return RAKE_STATE_BURN;
    case RAKE_MARK_SAND_THROUGH:
      return RAKE_STATE_SAND_THROUGH;
    default:
      return RAKE_STATE_UNSAID;
    }
}
