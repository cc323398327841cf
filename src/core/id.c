/* id.c - universal ids after RFC 9562. */
#include <rakelight/id.h>

#include <errno.h>
#include <string.h>
#include <sys/random.h>

const RakeId RAKE_ID_NIL = { { 0 } };

static void
fill_with_random_bytes (guint8 *bytes, gsize n_bytes)
{
  gsize filled = 0;

  while (filled < n_bytes)
    {
      ssize_t got = getrandom (bytes + filled, n_bytes - filled, 0);
      if (got > 0)
        filled += (gsize) got;
      else if (errno != EINTR)
        g_error ("the system gives no random numbers: %s", g_strerror (errno));
    }
}

static void
set_version (RakeId *id, guint8 version)
{
  id->bytes[6] = (guint8) ((id->bytes[6] & 0x0f) | (version << 4));
  id->bytes[8] = (guint8) ((id->bytes[8] & 0x3f) | 0x80);
}

RakeId
rake_id_new (gint64 unix_ms)
{
  RakeId id;

  fill_with_random_bytes (id.bytes, sizeof id.bytes);
  for (int i = 0; i < 6; i++)
    id.bytes[i] = (guint8) ((guint64) unix_ms >> (8 * (5 - i)));
  set_version (&id, 7);
  return id;
}

RakeId
rake_id_new_for_name (RakeId name_space, const char *name)
{
  g_autoptr (GChecksum) sum = g_checksum_new (G_CHECKSUM_SHA256);
  guint8 digest[32];
  gsize n_bytes = sizeof digest;
  RakeId id;

  g_checksum_update (sum, name_space.bytes, sizeof name_space.bytes);
  g_checksum_update (sum, (const guchar *) name, -1);
  g_checksum_get_digest (sum, digest, &n_bytes);
  memcpy (id.bytes, digest, sizeof id.bytes);
  set_version (&id, 8);
  return id;
}

/* g_ascii_xdigit_value(), but without a call: a large job file holds a hundred thousand ids. */
static int
get_digit (char c)
{
  return c >= '0' && c <= '9'   ? c - '0'
         : c >= 'a' && c <= 'f' ? c - 'a' + 10
         : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                : -1;
}

gboolean
rake_id_from_text (const char *text, RakeId *id)
{
  RakeId read;
  int n_bytes = 0;

  for (int i = 0; i < RAKE_ID_TEXT_LENGTH; i++)
    {
      int high, low;

      if (i == 8 || i == 13 || i == 18 || i == 23)
        {
          if (text[i] != '-')
            return FALSE;
          continue;
        }
      high = get_digit (text[i]);
      low = high >= 0 ? get_digit (text[i + 1]) : -1;
      if (low < 0)
        return FALSE;
      read.bytes[n_bytes++] = (guint8) (high * 16 + low);
      i++;
    }
  if (text[RAKE_ID_TEXT_LENGTH] != '\0')
    return FALSE;
  *id = read;
  return TRUE;
}

void
rake_id_to_text (RakeId id, char text[RAKE_ID_TEXT_LENGTH + 1])
{
  static const char digits[] = "0123456789abcdef";
  char *out = text;

  for (int i = 0; i < 16; i++)
    {
      if (i == 4 || i == 6 || i == 8 || i == 10)
        *out++ = '-';
      *out++ = digits[id.bytes[i] >> 4];
      *out++ = digits[id.bytes[i] & 15];
    }
  *out = '\0';
}

gboolean
rake_id_is_nil (RakeId id)
{
  return rake_id_equal (id, RAKE_ID_NIL);
}

gboolean
rake_id_equal (RakeId a, RakeId b)
{
  return memcmp (a.bytes, b.bytes, sizeof a.bytes) == 0;
}

int
rake_id_compare (RakeId a, RakeId b)
{
  return memcmp (a.bytes, b.bytes, sizeof a.bytes);
}

guint
rake_id_hash_key (gconstpointer id)
{
  guint hash;

  /* The last bytes: they are random in every version we make, the first ones are the clock. */
  memcpy (&hash, ((const RakeId *) id)->bytes + 12, sizeof hash);
  return hash;
}

gboolean
rake_id_equal_key (gconstpointer a, gconstpointer b)
{
  return rake_id_equal (*(const RakeId *) a, *(const RakeId *) b);
}
