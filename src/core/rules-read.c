/* rules-read.c - a rule file into a rule set, or the line and column where it cannot be read. */
#include "i18n.h"
#include "rules-private.h"

#include <math.h>
#include <string.h>

static void
rule_unref (RakeRule *rule)
{
  if (rule == NULL || !g_atomic_ref_count_dec (&rule->n_refs))
    return;
  g_free (rule->name);
  g_free (rule->trace);
  g_free (rule->matter);
  rake_condition_free (rule->when);
  g_free (rule->says);
  g_free (rule->clears);
  g_free (rule->warns);
  g_free (rule->unsure);
  g_free (rule);
}

G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeRule, rule_unref)

static RakeRule *
rule_new (const char *name)
{
  RakeRule *rule = g_new0 (RakeRule, 1);

  g_atomic_ref_count_init (&rule->n_refs);
  rule->name = g_strdup (name);
  return rule;
}

static RakePreparation *
preparation_new (const char *name, const char *sentence, guint stages, guint after)
{
  RakePreparation *preparation = g_new (RakePreparation, 1);

  preparation->name = g_strdup (name);
  preparation->sentence = g_strdup (sentence);
  preparation->stages = stages;
  preparation->after = after;
  return preparation;
}

static void
preparation_free (gpointer data)
{
  RakePreparation *preparation = data;

  g_free ((char *) preparation->name);
  g_free ((char *) preparation->sentence);
  g_free (preparation);
}

/* Rules are shared with the base, which is never changed once read. */
static RakeRules *
rules_new_over (const RakeRules *base)
{
  RakeRules *rules = g_new0 (RakeRules, 1);

  g_atomic_ref_count_init (&rules->n_refs);
  rules->rules = g_ptr_array_new_with_free_func ((GDestroyNotify) rule_unref);
  rules->preparations = g_ptr_array_new_with_free_func (preparation_free);
  if (base == NULL)
    {
      rules->limits = (RakeLimits){ NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
      return rules;
    }

  rules->limits = base->limits;
  for (guint i = 0; i < base->rules->len; i++)
    {
      RakeRule *rule = base->rules->pdata[i];
      g_atomic_ref_count_inc (&rule->n_refs);
      g_ptr_array_add (rules->rules, rule);
    }
  for (guint i = 0; i < base->preparations->len; i++)
    {
      const RakePreparation *preparation = base->preparations->pdata[i];
      g_ptr_array_add (rules->preparations,
                       preparation_new (preparation->name, preparation->sentence,
                                        preparation->stages, preparation->after));
    }
  return rules;
}

static gboolean
expect (RakeScanner *scanner, RakeTokenType type, const char *what, GError **error)
{
  g_autofree char *found = NULL;

  if (scanner->type == type)
    return TRUE;
  found = rake_scanner_describe (scanner);
  return rake_scanner_fail (scanner, 0, error, _ ("expected %s, not %s"), what, found);
}

/* Takes the word now looked at, of which there must be one, and goes on. */
static gboolean
take_word (RakeScanner *scanner, const char *what, char **word, GError **error)
{
  if (!expect (scanner, RAKE_TOKEN_WORD, what, error))
    return FALSE;
  *word = g_strdup (scanner->word);
  return rake_scanner_next (scanner, error);
}

/* Every {…} must be something that can be filled in. */
static gboolean
check_sentence (const RakeScanner *scanner, GError **error)
{
  const char *open = scanner->word;

  if (strspn (scanner->word, " \t") == strlen (scanner->word))
    return rake_scanner_fail (scanner, 0, error, _ ("this sentence says nothing"));
  while ((open = strpbrk (open, "{}")) != NULL)
    {
      const char *close = strchr (open, '}');
      guint columns = 1 + (guint) g_utf8_strlen (scanner->word, open - scanner->word);
      g_autofree char *name = NULL;

      if (*open == '}' || close == NULL)
        return rake_scanner_fail (scanner, columns, error, _ ("this bracket has no partner"));
      name = g_strndup (open + 1, (gsize) (close - open - 1));
      if (!rake_saying_has (name))
        return rake_scanner_fail (scanner, columns, error, _ ("nothing is known as {%s}"), name);
      open = close + 1;
    }
  return TRUE;
}

static gboolean
read_sentence (RakeScanner *scanner, char **sentence, GError **error)
{
  if (!expect (scanner, RAKE_TOKEN_TEXT, _ ("a sentence in double quotes"), error) ||
      !check_sentence (scanner, error))
    return FALSE;
  *sentence = g_strdup (scanner->word);
  return rake_scanner_next (scanner, error);
}

static const char *const field_words[] = { "trace",   "matter", "stages", "when",  "only",
                                           "verdict", "says",   "clears", "warns", "unsure" };

static int
find_field (const RakeScanner *scanner)
{
  for (gsize i = 0; i < G_N_ELEMENTS (field_words); i++)
    if (rake_scanner_is (scanner, field_words[i]))
      return (int) i;
  return -1;
}

/* A matter may be of several words ("low spots"): all up to the next field or the end of the line. */
static gboolean
read_matter (RakeScanner *scanner, char **matter, GError **error)
{
  g_autoptr (GString) words = NULL;
  guint line = scanner->token_line;

  if (!expect (scanner, RAKE_TOKEN_WORD, _ ("what the rule speaks about"), error))
    return FALSE;
  words = g_string_new (scanner->word);
  if (!rake_scanner_next (scanner, error))
    return FALSE;
  while (scanner->type == RAKE_TOKEN_WORD && scanner->token_line == line &&
         find_field (scanner) < 0)
    {
      g_string_append_printf (words, " %s", scanner->word);
      if (!rake_scanner_next (scanner, error))
        return FALSE;
    }
  *matter = g_strdup (words->str);
  return TRUE;
}

static gboolean
read_stages (RakeScanner *scanner, guint *stages, GError **error)
{
  RakeAction action;

  if (rake_scanner_is (scanner, "any"))
    {
      *stages = RAKE_STAGES_ANY;
      return rake_scanner_next (scanner, error);
    }
  *stages = 0;
  while (scanner->type == RAKE_TOKEN_WORD &&
         (action = rake_rules_find_action (scanner->word)) != RAKE_ACTION_UNSAID)
    {
      *stages |= 1u << action;
      if (!rake_scanner_next (scanner, error))
        return FALSE;
    }
  if (*stages == 0)
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error,
                                _ ("expected level, refine, last-look, buff, rest or any, not %s"),
                                found);
    }
  return TRUE;
}

static gboolean
read_back (RakeScanner *scanner, RakeRule *rule, GError **error)
{
  if (rule->verdict != RAKE_VERDICT_SAND_AGAIN)
    return rake_scanner_fail (scanner, 0, error, _ ("only sand-again sends a zone back"));
  if (!rake_scanner_next (scanner, error))
    return FALSE;
  if (rake_scanner_is (scanner, "last-sanding"))
    {
      rule->back = RAKE_BACK_LAST_SANDING;
      return rake_scanner_next (scanner, error);
    }
  if (scanner->type != RAKE_TOKEN_NUMBER || scanner->number < 1 || scanner->number > 9 ||
      scanner->number != floor (scanner->number))
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error,
                                _ ("expected last-sanding or how many stages (1 to 9), not %s"),
                                found);
    }
  rule->back = RAKE_BACK_STAGES;
  rule->n_back = (guint) scanner->number;
  return rake_scanner_next (scanner, error);
}

static gboolean
read_verdict (RakeScanner *scanner, RakeRule *rule, GError **error)
{
  if (scanner->type == RAKE_TOKEN_WORD)
    rule->verdict = rake_rules_find_verdict (scanner->word);
  if (rule->verdict == RAKE_VERDICT_NONE)
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (
          scanner, 0, error,
          _ ("expected ready, sand-again, look-again, wait, stop or repair, not %s"), found);
    }
  if (!rake_scanner_next (scanner, error))
    return FALSE;
  return rake_scanner_is (scanner, "back") ? read_back (scanner, rule, error) : TRUE;
}

static gboolean
read_only (RakeScanner *scanner, RakeRule *rule, GError **error)
{
  if (!rake_scanner_is (scanner, "sand-again"))
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error, _ ("expected sand-again, not %s"), found);
    }
  rule->is_about_next_pass = TRUE;
  return rake_scanner_next (scanner, error);
}

static gboolean
read_field (RakeScanner *scanner, RakeRule *rule, int field, GError **error)
{
  switch (field)
    {
    case 0:
      return take_word (scanner, _ ("a word"), &rule->trace, error);
    case 1:
      return read_matter (scanner, &rule->matter, error);
    case 2:
      return read_stages (scanner, &rule->stages, error);
    case 3:
      rule->when = rake_condition_read (scanner, error);
      return rule->when != NULL;
    case 4:
      return read_only (scanner, rule, error);
    case 5:
      return read_verdict (scanner, rule, error);
    case 6:
      return read_sentence (scanner, &rule->says, error);
    case 7:
      return read_sentence (scanner, &rule->clears, error);
    case 8:
      return read_sentence (scanner, &rule->warns, error);
    default:
      return read_sentence (scanner, &rule->unsure, error);
    }
}

/* What a rule cannot do without; said at the place after the rule, where it is missed. */
static gboolean
check_rule (const RakeScanner *scanner, const RakeRule *rule, GError **error)
{
  const char *const sentences[] = { rule->says, rule->clears, rule->warns, rule->unsure };
  const char *missing = NULL;

  if (rule->matter == NULL)
    missing = "matter";
  else if (rule->stages == 0)
    missing = "stages";
  else if (rule->when == NULL)
    missing = "when";
  else if (rule->verdict == RAKE_VERDICT_NONE)
    missing = "verdict";
  else if (rule->says == NULL)
    missing = "says";
  if (missing != NULL)
    return rake_scanner_fail (scanner, 0, error, _ ("the rule “%s” has no line “%s”"), rule->name,
                              missing);
  for (gsize i = 0; rule->back == RAKE_BACK_NOT && i < G_N_ELEMENTS (sentences); i++)
    if (sentences[i] != NULL && strstr (sentences[i], "{back}") != NULL)
      return rake_scanner_fail (scanner, 0, error,
                                _ ("the rule “%s” says {back} but sends nothing back"), rule->name);
  return TRUE;
}

static RakeRule *
read_rule (RakeScanner *scanner, GError **error)
{
  g_autoptr (RakeRule) rule = NULL;
  guint seen = 0;
  int field;

  if (!expect (scanner, RAKE_TOKEN_WORD, _ ("the name of a rule"), error))
    return NULL;
  rule = rule_new (scanner->word);
  if (!rake_scanner_next (scanner, error))
    return NULL;
  while ((field = find_field (scanner)) >= 0)
    {
      if ((seen & (1u << field)) != 0)
        {
          rake_scanner_fail (scanner, 0, error, _ ("the rule “%s” has a line “%s” already"),
                             rule->name, field_words[field]);
          return NULL;
        }
      seen |= 1u << field;
      if (!rake_scanner_next (scanner, error) || !read_field (scanner, rule, field, error))
        return NULL;
    }
  if (!check_rule (scanner, rule, error))
    return NULL;
  if (rule->trace == NULL)
    rule->trace = g_strdup ("");
  return g_steal_pointer (&rule);
}

static gboolean
find_rule_index (const RakeRules *rules, const char *name, guint *index)
{
  for (guint i = 0; i < rules->rules->len; i++)
    if (strcmp (((const RakeRule *) rules->rules->pdata[i])->name, name) == 0)
      {
        *index = i;
        return TRUE;
      }
  return FALSE;
}

static gboolean
find_preparation_index (const RakeRules *rules, const char *name, guint *index)
{
  for (guint i = 0; i < rules->preparations->len; i++)
    if (strcmp (((const RakePreparation *) rules->preparations->pdata[i])->name, name) == 0)
      {
        *index = i;
        return TRUE;
      }
  return FALSE;
}

/* @said holds what this file has said already ("rule level-enough"), so that a slip of the hand,
 * the same name twice, is not taken for an override. */
static gboolean
claim (RakeScanner *scanner, GHashTable *said, const char *keyword, GError **error)
{
  g_autofree char *key = g_strconcat (keyword, " ", scanner->word, NULL);

  if (scanner->type == RAKE_TOKEN_WORD && g_hash_table_contains (said, key))
    return rake_scanner_fail (scanner, 0, error, _ ("“%s” stands in this file twice"), key);
  g_hash_table_add (said, g_steal_pointer (&key));
  return TRUE;
}

static gboolean
read_rule_into (RakeScanner *scanner, RakeRules *rules, GHashTable *said, GError **error)
{
  g_autoptr (RakeRule) rule = NULL;
  guint index;

  if (!claim (scanner, said, "rule", error) || (rule = read_rule (scanner, error)) == NULL)
    return FALSE;
  if (find_rule_index (rules, rule->name, &index))
    {
      rule_unref (rules->rules->pdata[index]);
      rules->rules->pdata[index] = g_steal_pointer (&rule);
      return TRUE;
    }
  if (rules->rules->len >= RAKE_RULES_MAX_RULES)
    return rake_scanner_fail (scanner, 0, error, _ ("a rule set has at most %d rules"),
                              RAKE_RULES_MAX_RULES);
  g_ptr_array_add (rules->rules, g_steal_pointer (&rule));
  return TRUE;
}

static gboolean
read_limit (RakeScanner *scanner, RakeRules *rules, GHashTable *said, GError **error)
{
  RakeUnit unit;
  double *limit, value;
  guint line, column;

  if (!expect (scanner, RAKE_TOKEN_WORD, _ ("the name of a limit"), error) ||
      !claim (scanner, said, "let", error))
    return FALSE;
  limit = rake_limits_find (&rules->limits, scanner->word, &unit);
  if (limit == NULL)
    return rake_scanner_fail (scanner, 0, error, _ ("there is no limit “%s”"), scanner->word);
  if (!rake_scanner_next (scanner, error))
    return FALSE;
  if (!rake_scanner_is (scanner, "="))
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error, _ ("expected =, not %s"), found);
    }
  if (!rake_scanner_next (scanner, error))
    return FALSE;

  line = scanner->token_line;
  column = scanner->token_column;
  if (!rake_scanner_read_value (scanner, unit, &value, error))
    return FALSE;
  if (value < 0 || (unit == RAKE_UNIT_FRACTION && value > 1))
    {
      g_set_error (error, RAKE_RULES_ERROR, RAKE_RULES_ERROR_SYNTAX, "%s:%u:%u: %s", scanner->file,
                   line, column,
                   unit == RAKE_UNIT_FRACTION ? _ ("a share lies between 0 and 100 %")
                                              : _ ("a limit is not below 0"));
      return FALSE;
    }
  *limit = value;
  return TRUE;
}

static gboolean
read_drop (RakeScanner *scanner, RakeRules *rules, GError **error)
{
  guint index;

  if (!expect (scanner, RAKE_TOKEN_WORD, _ ("the name of a rule"), error))
    return FALSE;
  if (find_rule_index (rules, scanner->word, &index))
    g_ptr_array_remove_index (rules->rules, index);
  else if (find_preparation_index (rules, scanner->word, &index))
    g_ptr_array_remove_index (rules->preparations, index);
  else
    return rake_scanner_fail (scanner, 0, error, _ ("there is no rule “%s” to drop"),
                              scanner->word);
  return rake_scanner_next (scanner, error);
}

/* Before the sentence: the stages that it is for, and after which. Neither: before every stage. */
static gboolean
read_when (RakeScanner *scanner, guint *stages, guint *after, GError **error)
{
  *stages = *after = RAKE_STAGES_ANY;
  if (scanner->type == RAKE_TOKEN_WORD && !rake_scanner_is (scanner, "after") &&
      !read_stages (scanner, stages, error))
    return FALSE;
  if (!rake_scanner_is (scanner, "after"))
    return TRUE;
  return rake_scanner_next (scanner, error) && read_stages (scanner, after, error);
}

static gboolean
read_preparation (RakeScanner *scanner, RakeRules *rules, GHashTable *said, GError **error)
{
  g_autofree char *name = NULL, *sentence = NULL;
  RakePreparation *preparation;
  guint index, stages, after;

  if (!claim (scanner, said, "prepare", error) ||
      !take_word (scanner, _ ("a name"), &name, error) ||
      !read_when (scanner, &stages, &after, error) || !read_sentence (scanner, &sentence, error))
    return FALSE;
  preparation = preparation_new (name, sentence, stages, after);
  if (find_preparation_index (rules, name, &index))
    {
      preparation_free (rules->preparations->pdata[index]);
      rules->preparations->pdata[index] = preparation;
      return TRUE;
    }
  g_ptr_array_add (rules->preparations, preparation);
  if (rules->preparations->len > RAKE_RULES_MAX_PREPARATIONS)
    return rake_scanner_fail (scanner, 0, error, _ ("a rule set prepares at most %d things"),
                              RAKE_RULES_MAX_PREPARATIONS);
  return TRUE;
}

static gboolean
read_statement (RakeScanner *scanner, RakeRules *rules, GHashTable *said, GError **error)
{
  static const char *const words[] = { "rule", "let", "drop", "prepare" };
  g_autofree char *found = NULL;
  gsize which = 0;

  while (which < G_N_ELEMENTS (words) && !rake_scanner_is (scanner, words[which]))
    which++;
  if (which == G_N_ELEMENTS (words))
    {
      found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error,
                                _ ("expected rule, let, drop or prepare, not %s"), found);
    }
  if (!rake_scanner_next (scanner, error))
    return FALSE;
  switch (which)
    {
    case 0:
      return read_rule_into (scanner, rules, said, error);
    case 1:
      return read_limit (scanner, rules, said, error);
    case 2:
      return read_drop (scanner, rules, error);
    default:
      return read_preparation (scanner, rules, said, error);
    }
}

RakeRules *
rake_rules_new (const char *name, const char *text, const RakeRules *base, GError **error)
{
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (GHashTable) said = NULL;
  g_auto (RakeScanner) scanner = { 0 };

  g_return_val_if_fail (name != NULL && text != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);

  rules = rules_new_over (base);
  said = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  if (!rake_scanner_init (&scanner, name, text, error))
    return NULL;
  while (scanner.type != RAKE_TOKEN_END)
    if (!read_statement (&scanner, rules, said, error))
      return NULL;
  return g_steal_pointer (&rules);
}
