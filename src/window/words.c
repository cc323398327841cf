/* words.c - what the window says of zones, marks and the bench. */
#include "words.h"

#include <glib/gi18n.h>
#include <rakelight/map.h>

static const RakeReason *
find_leading_reason (const RakeJudgement *judgement)
{
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];
      if (reason->verdict == judgement->verdict && !reason->is_accepted)
        return reason;
    }
  return NULL;
}

char *
rake_words_zone (const RakeZone *zone, const RakeJudgement *judgement)
{
  const RakeReason *reason = find_leading_reason (judgement);
  const char *verdict = judgement->is_accepted ? _("Accepted as it is")
                                               : _(rake_verdict_get_label (judgement->verdict));

  if (judgement->verdict == RAKE_VERDICT_NONE)
    return g_strdup_printf (C_("zone: standing", "%s: no verdict asked"), zone->name);
  if (!reason || !reason->sentence)
    return g_strdup_printf (C_("zone: standing", "%s: %s."), zone->name, verdict);
  return g_strdup_printf (C_("zone: standing", "%s: %s. %s"), zone->name, verdict,
                          reason->sentence);
}

char *
rake_words_zone_reasons (const RakeJudgement *judgement)
{
  const RakeReason *leading = find_leading_reason (judgement);
  GString *words = g_string_new (NULL);

  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];
      if (reason != leading && reason->sentence)
        g_string_append_printf (words, "%s%s", words->len ? " " : "", reason->sentence);
      if (reason->clears && !reason->is_accepted)
        g_string_append_printf (words, "%s%s", words->len ? " " : "", reason->clears);
    }
  return g_string_free (words, FALSE);
}

char *
rake_words_mark_short (const RakeMark *mark)
{
  double extent_mm = rake_shape_get_kind (mark->shape) == RAKE_SHAPE_LINE
                         ? rake_shape_get_length_mm (mark->shape)
                         : rake_shape_get_extent_mm (mark->shape);

  if (rake_shape_get_kind (mark->shape) == RAKE_SHAPE_POINT)
    return g_strdup (_(rake_mark_kind_get_label (mark->kind)));
  return g_strdup_printf (C_("mark and its size", "%s, %.0f mm"),
                          _(rake_mark_kind_get_label (mark->kind)), extent_mm);
}

static const char *
get_standing (const RakeZone *zone, const RakeMark *mark)
{
  if (mark->was_repaired)
    return _("repaired");
  if (mark->closed_by)
    return _("gone");
  if (rake_mark_is_ghost (zone, mark))
    return _("from before: wants another look");
  if (rake_mark_is_carried (zone, mark))
    return _("carried from an earlier stage");
  return NULL;
}

char *
rake_words_mark (const RakeZone *zone, const RakeMark *mark)
{
  g_autofree char *what = rake_words_mark_short (mark);
  const char *standing = get_standing (zone, mark);

  return standing ? g_strdup_printf (C_("mark, zone, standing", "%s, %s, %s"), what, zone->name,
                                     standing)
                  : g_strdup_printf (C_("mark, zone", "%s, %s"), what, zone->name);
}

const char *
rake_words_surface (RakeSurface surface)
{
  switch (surface)
    {
    case RAKE_SURFACE_DRY:
      return C_("surface", "Dry");
    case RAKE_SURFACE_WET:
      return C_("surface", "Wet");
    case RAKE_SURFACE_DUSTY:
      return C_("surface", "Dusty");
    case RAKE_SURFACE_WARM:
      return C_("surface", "Warm");
    case RAKE_SURFACE_HAZED:
      return C_("surface", "Hazed");
    case RAKE_SURFACE_UNSAID:
    default:
      return C_("surface", "Not said");
    }
}

const char *
rake_words_wipe (RakeWipe wiped_with)
{
  switch (wiped_with)
    {
    case RAKE_WIPE_NOTHING:
      return C_("wiped with", "Not wiped");
    case RAKE_WIPE_DRY_CLOTH:
      return C_("wiped with", "Dry cloth");
    case RAKE_WIPE_DAMP_CLOTH:
      return C_("wiped with", "Damp cloth");
    case RAKE_WIPE_SPIRIT:
      return C_("wiped with", "Spirit");
    case RAKE_WIPE_UNSAID:
    default:
      return C_("wiped with", "Not said");
    }
}

const char *
rake_words_light (RakeLight light)
{
  switch (light)
    {
    case RAKE_LIGHT_LAMP:
      return C_("light", "Lamp, low");
    case RAKE_LIGHT_DAYLIGHT:
      return C_("light", "Daylight");
    case RAKE_LIGHT_ROOM:
      return C_("light", "Room light");
    case RAKE_LIGHT_POINT:
      return C_("light", "Point light");
    case RAKE_LIGHT_UNSAID:
    default:
      return C_("light", "Not said");
    }
}

const char *
rake_words_paper (RakePaper paper)
{
  switch (paper)
    {
    case RAKE_PAPER_FRESH:
      return C_("paper", "Fresh");
    case RAKE_PAPER_USED:
      return C_("paper", "Used");
    case RAKE_PAPER_LOADED:
      return C_("paper", "Loaded");
    case RAKE_PAPER_UNSAID:
    default:
      return C_("paper", "Not said");
    }
}

char *
rake_words_stage (const RakeStage *stage)
{
  const char *action = _(rake_action_get_label (stage->action));

  return *stage->grade ? g_strdup_printf (C_("stage and grade", "%s, %s"), action, stage->grade)
                       : g_strdup (action);
}
