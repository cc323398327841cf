/* rules.h - the trade's rules as data, and what they say of a zone and a face.
 *
 * A rule file is text; docs/judging.md has its grammar. A shop's own file may be read on top: a rule
 * of the same name replaces, `drop NAME` takes one away, `let` sets a limit. A set is never changed
 * once read and may be used from any thread. */
#pragma once
#include <rakelight/facts.h>

#define RAKE_RULES_ERROR (rake_rules_error_quark ())
GQuark rake_rules_error_quark (void);

typedef enum
{
  RAKE_RULES_ERROR_SYNTAX, /* "FILE:LINE:COLUMN: expected …" */
} RakeRulesError;

typedef struct _RakeRules RakeRules;

/* Reads @text over @base (may be NULL; it is not changed).
 *
 * name     for messages and the record: "rakelight.rules"
 * returns  a rule set, free with rake_rules_unref(); NULL with RAKE_RULES_ERROR_SYNTAX */
RakeRules *rake_rules_new (const char *name, const char *text, const RakeRules *base,
                           GError **error);
RakeRules *rake_rules_ref (RakeRules *rules);
void rake_rules_unref (RakeRules *rules);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeRules, rake_rules_unref)

/* The trade's own rules, data/rules/rakelight.rules as it was built in. */
const char *rake_rules_get_builtin_text (void);

/* The set that @job records, if it records one that can be read; else @ours (a new reference). */
RakeRules *rake_rules_for_job (const RakeJob *job, RakeRules *ours);

/* The whole set as one rule file, overrides worked in: what a new job records. Caller frees. */
char *rake_rules_to_text (const RakeRules *rules);
const RakeLimits *rake_rules_get_limits (const RakeRules *rules);
guint rake_rules_get_n_rules (const RakeRules *rules);

typedef struct
{
  const char *rule;      /* "level-enough" */
  const char *trace;     /* "D10" */
  const char *matter;    /* what it speaks about: "low spots", "scratch", "looks", "cure" … */
  RakeVerdict verdict;
  char *sentence;        /* translated, numbers filled in */
  char *clears;          /* translated: what would clear it; NULL when nothing needs clearing */
  gboolean is_accepted;  /* muted by an acceptance */
} RakeReason;

typedef struct
{
  RakeVerdict verdict;          /* the strongest that is not accepted; NONE when none is asked */
  gboolean is_accepted;         /* an acceptance holds the verdict down */
  const RakeEntry *acceptance;  /* it, or NULL */
  const RakeStage *stage;       /* judged at; NULL without a schedule */
  const RakeStage *back_to;     /* the stage the zone is sent back to, or NULL */
  GPtrArray *reasons;           /* RakeReason *, strongest first; every rule that spoke */
  RakeFacts facts;
} RakeJudgement;

/* Never fails; without a schedule the verdict is NONE. Free with rake_judgement_free() before @rules
 * and before the job changes: rule names, stages and entries in it are theirs. */
RakeJudgement *rake_rules_judge (const RakeRules *rules, const RakeJob *job, const RakeZone *zone,
                                 gint64 now_ms);
void rake_judgement_free (RakeJudgement *judgement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeJudgement, rake_judgement_free)

/* Ready, or accepted as it is: does not hold the gate. */
gboolean rake_judgement_is_settled (const RakeJudgement *judgement);

typedef struct
{
  gboolean is_open;
  const RakeStage *stage, *next;   /* next NULL after the last */
  double ready_fraction;           /* share of the area of the zones with this stage, settled */
  guint n_settled, n_zones;        /* of the zones that have this stage */
  const RakeZone *suggested;       /* the zone to take up next, NULL when none */
  char *sentence;                  /* translated: why shut, or what to do before going on */
  char *warning;                   /* translated: the stages to come would take too much of a zone;
                                      NULL when they would not, or nobody knows */
} RakeGate;

/* @judgements  one for each zone of @face, in its order (as from rake_rules_judge()) */
RakeGate *rake_rules_gate (const RakeRules *rules, const RakeJob *job, const RakeFace *face,
                           RakeJudgement *const *judgements);
void rake_gate_free (RakeGate *gate);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeGate, rake_gate_free)

/* A warning before a pass is made on a zone so judged (over-sanding a ready zone, a stop, a wait),
 * translated, caller frees; NULL when there is nothing to say. */
char *rake_rules_warn_before_pass (const RakeRules *rules, const RakeZone *zone,
                                   const RakeJudgement *judgement);

/* The short list before a change of stage: an array of RakePreparation, owned by the rules. */
typedef struct
{
  const char *name;      /* "water" */
  const char *sentence;  /* untranslated; pass through gettext */
  guint stages, after;   /* which stages it is for, and what the stage before must be: a bit
                            1 << RakeAction each */
} RakePreparation;

/* Whether it belongs on the list before @stage, where @before is the stage before it, or NULL. */
gboolean rake_preparation_is_for (const RakePreparation *preparation, const RakeStage *stage,
                                  const RakeStage *before);
GPtrArray *rake_rules_get_preparations (const RakeRules *rules);
