/* rules-scan.c - the words, numbers and signs of a rule file, and where in it they stand. */
#include "i18n.h"
#include "rules-private.h"

#include <math.h>
#include <string.h>

static const char *const unit_words[] = {
  [RAKE_UNIT_NUMBER] = "",   [RAKE_UNIT_ANSWER] = "",    [RAKE_UNIT_FRACTION] = "%",
  [RAKE_UNIT_MM] = "mm",     [RAKE_UNIT_UM] = "um",      [RAKE_UNIT_DEG] = "deg",
  [RAKE_UNIT_DAY] = "days",  [RAKE_UNIT_MINUTE] = "min", [RAKE_UNIT_CELSIUS] = "C",
  [RAKE_UNIT_GU] = "GU",
};

G_DEFINE_QUARK (rake-rules-error, rake_rules_error)

static void
set_error_at (GError **error, const char *file, guint line, guint column, const char *message)
{
  g_set_error (error, RAKE_RULES_ERROR, RAKE_RULES_ERROR_SYNTAX, "%s:%u:%u: %s", file, line, column,
               message);
}

gboolean
rake_scanner_fail (const RakeScanner *scanner, guint columns, GError **error, const char *format,
                   ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  set_error_at (error, scanner->file, scanner->token_line, scanner->token_column + columns,
                message);
  return FALSE;
}

char *
rake_scanner_describe (const RakeScanner *scanner)
{
  if (scanner->type == RAKE_TOKEN_END)
    return g_strdup (_ ("the end of the file"));
  if (scanner->type == RAKE_TOKEN_TEXT)
    return g_strdup (_ ("a sentence"));
  return g_strdup_printf (_ ("“%s”"), scanner->word);
}

gboolean
rake_scanner_is (const RakeScanner *scanner, const char *word_or_sign)
{
  return (scanner->type == RAKE_TOKEN_WORD || scanner->type == RAKE_TOKEN_SIGN) &&
         strcmp (scanner->word, word_or_sign) == 0;
}

/* Columns are counted in characters, as an editor shows them. */
static guint
column_of (const char *line_start, const char *at)
{
  return (guint) g_utf8_strlen (line_start, at - line_start) + 1;
}

static void
skip_space_and_comments (RakeScanner *scanner)
{
  const char *at = scanner->next;

  for (;; at++)
    {
      if (*at == '#')
        at += strcspn (at, "\n");
      if (*at == '\n')
        {
          scanner->line++;
          scanner->line_start = at + 1;
        }
      else if (*at != ' ' && *at != '\t' && *at != '\r')
        break;
    }
  scanner->next = at;
}

static gboolean
is_word_byte (char byte)
{
  return g_ascii_isalnum (byte) || byte == '_' || byte == '-';
}

/* Takes @length bytes for the token, without the @n_quotes at either end. */
static void
take (RakeScanner *scanner, RakeTokenType type, gsize length, gsize n_quotes)
{
  scanner->type = type;
  scanner->word = g_strndup (scanner->next + n_quotes, length - 2 * n_quotes);
  scanner->next += length;
}

static gboolean
take_text (RakeScanner *scanner, GError **error)
{
  gsize length = 1 + strcspn (scanner->next + 1, "\"\n");

  if (scanner->next[length] != '"')
    return rake_scanner_fail (scanner, 0, error, _ ("this sentence has no closing quote"));
  take (scanner, RAKE_TOKEN_TEXT, length + 1, 1);
  return TRUE;
}

static gboolean
take_number (RakeScanner *scanner, GError **error)
{
  gsize sign = *scanner->next == '-' ? 1 : 0;
  gsize whole = strspn (scanner->next + sign, "0123456789");
  gsize length = sign + whole, after = 0;
  gboolean has_point = scanner->next[length] == '.';

  if (has_point)
    {
      after = strspn (scanner->next + length + 1, "0123456789");
      length += 1 + after;
    }
  /* Digits within what rake_unit_append_value() can write back without an exponent. */
  if (whole > 9 || after > 9 || (has_point && after == 0) || scanner->next[length] == '.' ||
      is_word_byte (scanner->next[length]))
    return rake_scanner_fail (
        scanner, 0, error,
        _ ("this is not a number: up to nine digits, a point, and a space before the unit"));
  take (scanner, RAKE_TOKEN_NUMBER, length, 0);
  scanner->number = g_ascii_strtod (scanner->word, NULL);
  return TRUE;
}

gboolean
rake_scanner_next (RakeScanner *scanner, GError **error)
{
  const char *at;

  skip_space_and_comments (scanner);
  g_clear_pointer (&scanner->word, g_free);
  at = scanner->next;
  scanner->token_line = scanner->line;
  scanner->token_column = column_of (scanner->line_start, at);

  if (*at == '\0')
    {
      scanner->type = RAKE_TOKEN_END;
      return TRUE;
    }
  if (*at == '"')
    return take_text (scanner, error);
  if (g_ascii_isdigit (*at) || (*at == '-' && g_ascii_isdigit (at[1])))
    return take_number (scanner, error);
  if (g_ascii_isalpha (*at))
    {
      gsize length = 1;
      while (is_word_byte (at[length]))
        length++;
      take (scanner, RAKE_TOKEN_WORD, length, 0);
      return TRUE;
    }
  if (strchr ("<>!", *at) != NULL && at[1] == '=')
    {
      take (scanner, RAKE_TOKEN_SIGN, 2, 0);
      return TRUE;
    }
  if (strchr ("()=<>%", *at) != NULL)
    {
      take (scanner, RAKE_TOKEN_SIGN, 1, 0);
      return TRUE;
    }
  take (scanner, RAKE_TOKEN_SIGN, (gsize) (g_utf8_next_char (at) - at), 0);
  return rake_scanner_fail (scanner, 0, error, _ ("“%s” means nothing in a rule file"),
                            scanner->word);
}

gboolean
rake_scanner_init (RakeScanner *scanner, const char *file, const char *text, GError **error)
{
  const char *bad;

  *scanner = (RakeScanner){ .file = file, .text = text, .next = text, .line_start = text,
                            .line = 1, .token_line = 1, .token_column = 1 };
  if (strlen (text) > RAKE_RULES_MAX_BYTES)
    return rake_scanner_fail (scanner, 0, error, _ ("a rule file has at most %d bytes"),
                              RAKE_RULES_MAX_BYTES);
  if (!g_utf8_validate (text, -1, &bad))
    {
      for (const char *at = text; at < bad; at++)
        if (*at == '\n')
          {
            scanner->token_line++;
            scanner->line_start = at + 1;
          }
      scanner->token_column = column_of (scanner->line_start, bad);
      return rake_scanner_fail (scanner, 0, error, _ ("this is not UTF-8 text"));
    }
  return rake_scanner_next (scanner, error);
}

void
rake_scanner_clear (RakeScanner *scanner)
{
  g_clear_pointer (&scanner->word, g_free);
}

const char *
rake_unit_get_word (RakeUnit unit)
{
  return unit_words[unit];
}

static gboolean
read_answer (RakeScanner *scanner, double *value, GError **error)
{
  gboolean is_yes = rake_scanner_is (scanner, "yes");

  if (!is_yes && !rake_scanner_is (scanner, "no"))
    {
      g_autofree char *found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error, _ ("expected yes or no, not %s"), found);
    }
  *value = is_yes ? 1 : 0;
  return rake_scanner_next (scanner, error);
}

static gboolean
is_unit (const RakeScanner *scanner, RakeUnit unit)
{
  return rake_scanner_is (scanner, unit_words[unit]) ||
         (unit == RAKE_UNIT_DAY && rake_scanner_is (scanner, "day"));
}

static gboolean
is_any_unit (const RakeScanner *scanner)
{
  for (gsize i = 0; i < G_N_ELEMENTS (unit_words); i++)
    if (is_unit (scanner, (RakeUnit) i))
      return TRUE;
  return FALSE;
}

gboolean
rake_scanner_read_value (RakeScanner *scanner, RakeUnit unit, double *value, GError **error)
{
  g_autofree char *found = NULL;
  double number;

  if (unit == RAKE_UNIT_ANSWER)
    return read_answer (scanner, value, error);
  if (scanner->type != RAKE_TOKEN_NUMBER)
    {
      found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error, _ ("expected a number, not %s"), found);
    }
  number = scanner->number;
  if (!rake_scanner_next (scanner, error))
    return FALSE;

  if (unit == RAKE_UNIT_NUMBER)
    {
      if (is_any_unit (scanner))
        return rake_scanner_fail (scanner, 0, error, _ ("a count has no unit"));
      *value = number;
      return TRUE;
    }
  if (!is_unit (scanner, unit))
    {
      found = rake_scanner_describe (scanner);
      return rake_scanner_fail (scanner, 0, error, _ ("expected the unit %s, not %s"),
                                unit_words[unit], found);
    }
  /* Dividing two whole numbers gives the double nearest to the quotient, so "10 %" is the very
   * 0.1 that a look's share was entered as. */
  *value = unit == RAKE_UNIT_FRACTION ? number / 100 : number;
  return rake_scanner_next (scanner, error);
}

void
rake_unit_append_value (GString *text, RakeUnit unit, double value)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];

  if (unit == RAKE_UNIT_ANSWER)
    {
      g_string_append (text, value != 0 ? "yes" : "no");
      return;
    }
  /* Fifteen digits give back any percentage a person writes; the division above then gives the
   * same double again. What would need an exponent has at most nine decimals, see take_number(). */
  g_ascii_formatd (digits, sizeof digits, "%.15g",
                   unit == RAKE_UNIT_FRACTION ? value * 100 : value);
  if (strchr (digits, 'e') != NULL)
    g_ascii_formatd (digits, sizeof digits, "%.9f",
                     unit == RAKE_UNIT_FRACTION ? value * 100 : value);
  g_string_append (text, digits);
  if (*unit_words[unit] != '\0')
    g_string_append_printf (text, " %s", unit_words[unit]);
}
