/* rules-private.h - a rule as it is read, weighed and said.
 *
 * For the rules' own files and their tests only. */
#pragma once
#include <rakelight/rules.h>

/* --- scanning ------------------------------------------------------------------------------- */

/* A rule file comes by mail inside a job, so what recurses or piles up has a limit. */
#define RAKE_RULES_MAX_BYTES (256 * 1024)
#define RAKE_RULES_MAX_RULES 500
#define RAKE_RULES_MAX_PREPARATIONS 50
#define RAKE_RULES_MAX_DEPTH 32

typedef enum
{
  RAKE_TOKEN_END,
  RAKE_TOKEN_WORD,   /* letters, digits, "-" and "_" */
  RAKE_TOKEN_NUMBER,
  RAKE_TOKEN_TEXT,   /* "…", on one line, without quotes inside */
  RAKE_TOKEN_SIGN,   /* ( ) = != < <= > >= % */
} RakeTokenType;

typedef struct
{
  const char *file, *text; /* of the whole; kept by the caller */
  const char *next;        /* where scanning goes on */
  const char *line_start;
  guint line;
  /* the token now looked at */
  RakeTokenType type;
  char *word;              /* its text, without the quotes */
  double number;
  guint token_line, token_column;
} RakeScanner;

/* Looks at the first token of @text, which must be valid UTF-8. */
gboolean rake_scanner_init (RakeScanner *scanner, const char *file, const char *text,
                            GError **error);
void rake_scanner_clear (RakeScanner *scanner);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakeScanner, rake_scanner_clear)

gboolean rake_scanner_next (RakeScanner *scanner, GError **error);
gboolean rake_scanner_is (const RakeScanner *scanner, const char *word_or_sign);

/* Sets SYNTAX at the token now looked at (@columns further right) and returns FALSE. */
gboolean rake_scanner_fail (const RakeScanner *scanner, guint columns, GError **error,
                            const char *format, ...) G_GNUC_PRINTF (4, 5);

/* What stands there, for a message: a word in quotes, or "the end". Caller frees. */
char *rake_scanner_describe (const RakeScanner *scanner);

/* A number with the unit @unit wants, in the unit that facts have ("10 %" is 0.1). */
gboolean rake_scanner_read_value (RakeScanner *scanner, RakeUnit unit, double *value,
                                  GError **error);

/* The unit as a rule writes it: "%", "mm"; "" for counts and answers. */
const char *rake_unit_get_word (RakeUnit unit);

/* A value as a rule writes it, whatever the locale: "10 %", "yes", "3". */
void rake_unit_append_value (GString *text, RakeUnit unit, double value);

/* --- conditions ----------------------------------------------------------------------------- */

typedef enum { RAKE_TRUTH_FALSE, RAKE_TRUTH_UNKNOWN, RAKE_TRUTH_TRUE } RakeTruth;

typedef struct _RakeCondition RakeCondition;

/* Reads as far as the condition goes; the scanner then looks at what follows. */
RakeCondition *rake_condition_read (RakeScanner *scanner, GError **error);
void rake_condition_free (RakeCondition *condition);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeCondition, rake_condition_free)

RakeTruth rake_condition_weigh (const RakeCondition *condition, const RakeFacts *facts);
void rake_condition_append_text (const RakeCondition *condition, GString *text);

/* --- rules ---------------------------------------------------------------------------------- */

typedef enum
{
  RAKE_BACK_NOT,
  RAKE_BACK_STAGES,       /* so many sanding stages back */
  RAKE_BACK_LAST_SANDING,
} RakeBack;

typedef struct
{
  gatomicrefcount n_refs;
  char *name, *trace, *matter; /* trace is "" where none is said */
  guint stages;                /* a bit 1 << RakeAction each */
  RakeCondition *when;
  gboolean is_about_next_pass;  /* "only sand-again": weighed last, and only where one of the others
                                  asks for another pass */
  RakeVerdict verdict;
  RakeBack back;
  guint n_back;
  char *says, *clears, *warns, *unsure; /* untranslated; all but says may be NULL */
} RakeRule;

struct _RakeRules
{
  gatomicrefcount n_refs;
  RakeLimits limits;           /* NaN where the file does not say */
  GPtrArray *rules;            /* RakeRule *, in order */
  GPtrArray *preparations;     /* RakePreparation * */
};

#define RAKE_STAGES_ANY (~0u)

/* The limits by name, for let; @unit, when not NULL, takes the unit. NULL when there is none. */
double *rake_limits_find (RakeLimits *limits, const char *name, RakeUnit *unit);

/* The word a rule file has for a verdict or an action; 0 for a word that is none. */
const char *rake_rules_get_verdict_word (RakeVerdict verdict);
RakeVerdict rake_rules_find_verdict (const char *word);
const char *rake_rules_get_action_word (RakeAction action);
RakeAction rake_rules_find_action (const char *word);

const RakeRule *rake_rules_find (const RakeRules *rules, const char *name);

/* --- saying --------------------------------------------------------------------------------- */

/* What {…} in a sentence is filled in from. */
typedef struct
{
  const RakeFacts *facts;
  const char *zone, *stage, *back; /* as a person reads them; NULL where there is none */
  const char *faults;              /* "Nib, Run": the other faults that are open */
} RakeSaying;

/* Whether {@name} can be filled in. */
gboolean rake_saying_has (const char *name);

/* @msgid translated and filled in. Caller frees. */
char *rake_saying_fill (const RakeSaying *saying, const char *msgid);

/* A fact as a person reads it: "14 %", "3 days", "not known". Caller frees. */
char *rake_fact_describe (const RakeFacts *facts, RakeFact fact);

/* --- weighing ------------------------------------------------------------------------------- */

/* Every rule that speaks at a stage of @action with these facts, strongest first, in the order of
 * the file among equals. Array of RakeReason *.
 *
 * zone  whose name and stages the sentences speak of; NULL leaves them "not known" */
GPtrArray *rake_rules_weigh (const RakeRules *rules, RakeAction action, const RakeFacts *facts,
                             const RakeZone *zone);
void rake_reason_free (RakeReason *reason);

/* A rule's sentence for @zone. Caller frees. */
char *rake_rule_say (const RakeRule *rule, const char *msgid, const RakeFacts *facts,
                     const RakeZone *zone);

/* Where the rule sends the zone; NULL when nowhere, or when it stands there already. */
const RakeStage *rake_rule_find_back (const RakeRule *rule, const RakeZone *zone);

/* "P800", "cut compound", "Last look". Caller frees. */
char *rake_stage_describe (const RakeStage *stage);
