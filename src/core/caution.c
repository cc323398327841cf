/* caution.c - what to mind before a stage begins. */
#include <rakelight/caution.h>

#include "i18n.h"

static const char *
get_of_action (RakeAction action)
{
  switch (action)
    {
    case RAKE_ACTION_LEVEL:
    case RAKE_ACTION_REFINE:
      return _ ("Water near powered tools: residual-current protection and dry hands. Dry sanding "
                "makes dust that should not be breathed.");
    case RAKE_ACTION_BUFF:
      return _ ("The wheel can snatch the piece: lower front of the wheel only, edges trailing, no "
                "gloves, eyes covered. One wheel carries one compound; keep moving, let it cool.");
    case RAKE_ACTION_UNSAID:
    case RAKE_ACTION_LAST_LOOK:
    case RAKE_ACTION_REST:
    default:
      return NULL;
    }
}

/* What some films add to it; "" for the others. */
static const char *
get_of_finish (RakeAction action, RakeFinish finish)
{
  if (finish == RAKE_FINISH_NITROCELLULOSE)
    return action == RAKE_ACTION_BUFF
               ? _ ("Nitrocellulose lint and dust burn very fast: sweep them up after each job, "
                    "away "
                    "from sparks.")
               : _ ("Nitrocellulose dust burns very fast: keep it wet, or bag it and take it out "
                    "daily, away from sparks and wood dust.");
  if (finish == RAKE_FINISH_POLYURETHANE_2K && action != RAKE_ACTION_BUFF)
    return _ (
        "Two-part film that is not cured through can give off isocyanate when it is sanded: wait "
        "as long as its data sheet says.");
  return "";
}

char *
rake_caution_for_stage (RakeAction action, RakeFinish finish)
{
  const char *of_action = get_of_action (action), *of_finish;

  if (of_action == NULL)
    return NULL;
  of_finish = get_of_finish (action, finish);
  return g_strconcat (of_action, *of_finish != '\0' ? " " : "", of_finish, " ",
                      _ ("The maker’s data sheet comes first."), NULL);
}
