/* rules-condition.c - when a rule speaks: comparisons of facts joined by and, or, not.
 *
 * Three values after Kleene (Introduction to Metamathematics, 1952, §64, the strong tables): what is
 * unknown stays unknown unless the known side settles it. A fact that does not apply makes its
 * comparison false, whichever way round it is put. */
#include "i18n.h"
#include "rules-private.h"

typedef enum
{
  CONDITION_AND,
  CONDITION_OR,
  CONDITION_NOT,
  CONDITION_COMPARE,
  CONDITION_KNOWN,
  CONDITION_UNKNOWN,
} ConditionKind;

typedef enum
{
  COMPARE_EQUAL,
  COMPARE_NOT_EQUAL,
  COMPARE_LESS,
  COMPARE_AT_MOST,
  COMPARE_MORE,
  COMPARE_AT_LEAST,
  N_COMPARISONS,
} Comparison;

static const char *const comparison_signs[N_COMPARISONS] = { "=", "!=", "<", "<=", ">", ">=" };

struct _RakeCondition
{
  ConditionKind kind;
  RakeCondition *left, *right; /* and, or; not has left alone */
  RakeFact fact;
  Comparison comparison;
  RakeFact other;              /* RAKE_N_FACTS: compared with value */
  double value;
};

static RakeCondition *read_or (RakeScanner *scanner, guint depth, GError **error);

void
rake_condition_free (RakeCondition *condition)
{
  if (condition == NULL)
    return;
  rake_condition_free (condition->left);
  rake_condition_free (condition->right);
  g_free (condition);
}

static RakeCondition *
condition_new (ConditionKind kind)
{
  RakeCondition *condition = g_new0 (RakeCondition, 1);

  condition->kind = kind;
  condition->fact = RAKE_N_FACTS;
  condition->other = RAKE_N_FACTS;
  return condition;
}

static gboolean
read_fact (RakeScanner *scanner, RakeFact *fact, GError **error)
{
  if (scanner->type == RAKE_TOKEN_WORD)
    *fact = rake_fact_from_name (scanner->word);
  if (scanner->type != RAKE_TOKEN_WORD || *fact == RAKE_N_FACTS)
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error, _ ("expected a fact, not %s"), found);
    }
  return rake_scanner_next (scanner, error);
}

static gboolean
read_sign (RakeScanner *scanner, RakeCondition *condition, GError **error)
{
  g_autofree char *found = NULL;

  for (int i = 0; i < N_COMPARISONS; i++)
    if (rake_scanner_is (scanner, comparison_signs[i]))
      {
        condition->comparison = (Comparison) i;
        if (i > COMPARE_NOT_EQUAL && rake_fact_get_unit (condition->fact) == RAKE_UNIT_ANSWER)
          return rake_scanner_fail (scanner, 0, error,
                                    _ ("an answer is compared with = or != only"));
        return rake_scanner_next (scanner, error);
      }
  found = rake_scanner_describe (scanner);
  return rake_scanner_fail (scanner, 0, error, _ ("expected = != < <= > or >=, not %s"), found);
}

static gboolean
read_right_side (RakeScanner *scanner, RakeCondition *condition, GError **error)
{
  RakeUnit unit = rake_fact_get_unit (condition->fact), other_unit;
  RakeFact other = RAKE_N_FACTS;

  if (scanner->type == RAKE_TOKEN_WORD)
    other = rake_fact_from_name (scanner->word);
  if (other == RAKE_N_FACTS)
    return rake_scanner_read_value (scanner, unit, &condition->value, error);

  other_unit = rake_fact_get_unit (other);
  if (other_unit != unit)
    return rake_scanner_fail (scanner, 0, error, _ ("“%s” and “%s” are not of one unit"),
                              rake_fact_get_name (condition->fact), rake_fact_get_name (other));
  condition->other = other;
  return rake_scanner_next (scanner, error);
}

static RakeCondition *
read_primary (RakeScanner *scanner, guint depth, GError **error)
{
  g_autoptr (RakeCondition) condition = NULL;

  if (depth > RAKE_RULES_MAX_DEPTH)
    {
      rake_scanner_fail (scanner, 0, error, _ ("brackets go at most %d deep"),
                         RAKE_RULES_MAX_DEPTH);
      return NULL;
    }
  if (rake_scanner_is (scanner, "not"))
    {
      condition = condition_new (CONDITION_NOT);
      if (!rake_scanner_next (scanner, error) ||
          (condition->left = read_primary (scanner, depth + 1, error)) == NULL)
        return NULL;
      return g_steal_pointer (&condition);
    }
  if (rake_scanner_is (scanner, "("))
    {
      if (!rake_scanner_next (scanner, error) ||
          (condition = read_or (scanner, depth + 1, error)) == NULL)
        return NULL;
      if (!rake_scanner_is (scanner, ")"))
        {
          g_autofree char *found = rake_scanner_describe (scanner);
          rake_scanner_fail (scanner, 0, error,
                             _ ("expected and, or, or a closing bracket, not %s"), found);
          return NULL;
        }
      return rake_scanner_next (scanner, error) ? g_steal_pointer (&condition) : NULL;
    }
  if (rake_scanner_is (scanner, "known") || rake_scanner_is (scanner, "unknown"))
    {
      condition =
          condition_new (rake_scanner_is (scanner, "known") ? CONDITION_KNOWN : CONDITION_UNKNOWN);
      if (!rake_scanner_next (scanner, error) || !read_fact (scanner, &condition->fact, error))
        return NULL;
      return g_steal_pointer (&condition);
    }

  condition = condition_new (CONDITION_COMPARE);
  if (!read_fact (scanner, &condition->fact, error) || !read_sign (scanner, condition, error) ||
      !read_right_side (scanner, condition, error))
    return NULL;
  return g_steal_pointer (&condition);
}

/* A chain "a and b and c" leans to the left and is read in a loop; its length, too, is a depth for
 * those who walk the tree, so it counts. */
static RakeCondition *
read_chain (RakeScanner *scanner, ConditionKind kind, guint depth, GError **error)
{
  const char *word = kind == CONDITION_AND ? "and" : "or";
  g_autoptr (RakeCondition) condition = NULL;

  condition = kind == CONDITION_AND ? read_primary (scanner, depth, error)
                                    : read_chain (scanner, CONDITION_AND, depth, error);
  for (guint length = 1; condition != NULL && rake_scanner_is (scanner, word); length++)
    {
      RakeCondition *chain = condition_new (kind);

      chain->left = g_steal_pointer (&condition);
      condition = chain;
      if (length > RAKE_RULES_MAX_DEPTH)
        {
          rake_scanner_fail (scanner, 0, error, _ ("a condition joins at most %d by and, or by or"),
                             RAKE_RULES_MAX_DEPTH);
          return NULL;
        }
      if (!rake_scanner_next (scanner, error))
        return NULL;
      chain->right = kind == CONDITION_AND ? read_primary (scanner, depth, error)
                                           : read_chain (scanner, CONDITION_AND, depth, error);
      if (chain->right == NULL)
        return NULL;
    }
  return g_steal_pointer (&condition);
}

static RakeCondition *
read_or (RakeScanner *scanner, guint depth, GError **error)
{
  return read_chain (scanner, CONDITION_OR, depth, error);
}

RakeCondition *
rake_condition_read (RakeScanner *scanner, GError **error)
{
  return read_or (scanner, 0, error);
}

static RakeTruth
truth_of (gboolean is_true)
{
  return is_true ? RAKE_TRUTH_TRUE : RAKE_TRUTH_FALSE;
}

static RakeTruth
compare (const RakeCondition *condition, const RakeFacts *facts)
{
  RakeKnowledge knowledge = facts->knowledge[condition->fact];
  RakeKnowledge other_knowledge = RAKE_KNOWN;
  double value = facts->value[condition->fact];
  double other = condition->value;

  if (condition->other != RAKE_N_FACTS)
    {
      other_knowledge = facts->knowledge[condition->other];
      other = facts->value[condition->other];
    }
  if (knowledge == RAKE_NOT_APPLICABLE || other_knowledge == RAKE_NOT_APPLICABLE)
    return RAKE_TRUTH_FALSE;
  if (knowledge == RAKE_UNKNOWN || other_knowledge == RAKE_UNKNOWN)
    return RAKE_TRUTH_UNKNOWN;

  switch (condition->comparison)
    {
    case COMPARE_EQUAL:
      return truth_of (value == other);
    case COMPARE_NOT_EQUAL:
      return truth_of (value != other);
    case COMPARE_LESS:
      return truth_of (value < other);
    case COMPARE_AT_MOST:
      return truth_of (value <= other);
    case COMPARE_MORE:
      return truth_of (value > other);
    case COMPARE_AT_LEAST:
      return truth_of (value >= other);
    case N_COMPARISONS:
      break;
    }
  g_assert_not_reached ();
}

RakeTruth
rake_condition_weigh (const RakeCondition *condition, const RakeFacts *facts)
{
  RakeTruth left, right;

  switch (condition->kind)
    {
    case CONDITION_AND:
      left = rake_condition_weigh (condition->left, facts);
      if (left == RAKE_TRUTH_FALSE)
        return left;
      right = rake_condition_weigh (condition->right, facts);
      return MIN (left, right);
    case CONDITION_OR:
      left = rake_condition_weigh (condition->left, facts);
      if (left == RAKE_TRUTH_TRUE)
        return left;
      right = rake_condition_weigh (condition->right, facts);
      return MAX (left, right);
    case CONDITION_NOT:
      return (RakeTruth) (RAKE_TRUTH_TRUE - rake_condition_weigh (condition->left, facts));
    case CONDITION_COMPARE:
      return compare (condition, facts);
    case CONDITION_KNOWN:
      return truth_of (facts->knowledge[condition->fact] == RAKE_KNOWN);
    case CONDITION_UNKNOWN:
      return truth_of (facts->knowledge[condition->fact] == RAKE_UNKNOWN);
    }
  g_assert_not_reached ();
}

/* A right side of the same kind keeps its brackets, so that what is read again has the same shape
 * and stays within the same limits. */
static void
append_side (const RakeCondition *side, ConditionKind around, gboolean is_right, GString *text)
{
  gboolean has_brackets = (side->kind == CONDITION_OR && (around != CONDITION_OR || is_right)) ||
                          (side->kind == CONDITION_AND &&
                           (around == CONDITION_NOT || (around == CONDITION_AND && is_right)));

  if (has_brackets)
    g_string_append_c (text, '(');
  rake_condition_append_text (side, text);
  if (has_brackets)
    g_string_append_c (text, ')');
}

void
rake_condition_append_text (const RakeCondition *condition, GString *text)
{
  switch (condition->kind)
    {
    case CONDITION_AND:
    case CONDITION_OR:
      append_side (condition->left, condition->kind, FALSE, text);
      g_string_append (text, condition->kind == CONDITION_AND ? " and " : " or ");
      append_side (condition->right, condition->kind, TRUE, text);
      return;
    case CONDITION_NOT:
      g_string_append (text, "not ");
      append_side (condition->left, CONDITION_NOT, FALSE, text);
      return;
    case CONDITION_COMPARE:
      g_string_append_printf (text, "%s %s ", rake_fact_get_name (condition->fact),
                              comparison_signs[condition->comparison]);
      if (condition->other != RAKE_N_FACTS)
        g_string_append (text, rake_fact_get_name (condition->other));
      else
        rake_unit_append_value (text, rake_fact_get_unit (condition->fact), condition->value);
      return;
    case CONDITION_KNOWN:
    case CONDITION_UNKNOWN:
      g_string_append_printf (text, "%s %s",
                              condition->kind == CONDITION_KNOWN ? "known" : "unknown",
                              rake_fact_get_name (condition->fact));
      return;
    }
}
