/* caution.h - what to mind before a stage begins. Reminders, not advice: the makers' data sheets, local
 * rules and trained practice come first. docs/cautions.md has the facts and where they are from. */
#pragma once
#include <rakelight/entry.h>

/* One short translated paragraph for a stage of a job with this finish; NULL where there is nothing to
 * mind. Caller frees. */
char *rake_caution_for_stage (RakeAction action, RakeFinish finish);
