/* verdict-card.h - what the rules say of a zone: the verdict, why, and what would clear it.
 *
 * One thing to read at a time: the reasons as strong as the verdict stand open, the rest behind an
 * expander. Each reason's rule and trace stand in its tooltip and description. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_VERDICT_CARD (rake_verdict_card_get_type ())
G_DECLARE_FINAL_TYPE (RakeVerdictCard, rake_verdict_card, RAKE, VERDICT_CARD, GtkWidget)

/* Shows @judgement of @zone; neither is kept. */
void rake_verdict_card_show (RakeVerdictCard *self, const RakeZone *zone,
                             const RakeJudgement *judgement);
