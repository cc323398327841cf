/* test-photo-heif.c - the caller of the program that decodes HEIC, with stand-ins for that program which do
 * all that a decoder under a stranger's bytes might. The real one: heif-against-pillow.py. */
#include "heif-frame.h"

#include <rakelight/photo-heif.h>

#include <glib/gstdio.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static const char heic[] = { 0, 0, 0, 24, 'f', 't', 'y', 'p', 'h', 'e', 'i', 'c',
                             0, 0, 0, 0,  'm', 'i', 'f', '1', 'h', 'e', 'i', 'c' };

static char *folder;

static int
set_up (void **state)
{
  folder = g_dir_make_tmp ("rakelight-heif-XXXXXX", NULL);
  g_setenv ("RAKELIGHT_LIBEXECDIR", folder, TRUE);
  return folder != NULL ? 0 : 1;
}

static int
clean_up (void **state)
{
  g_autofree char *helper = g_build_filename (folder, "rakelight-heif", NULL);
  g_autofree char *answer = g_build_filename (folder, "answer", NULL);

  g_unlink (helper);
  g_unlink (answer);
  g_rmdir (folder);
  g_free (folder);
  return 0;
}

/* A stand-in that runs @script; where that asks for $answer, @answer comes. */
static void
stand_in (const char *script, GByteArray *answer)
{
  g_autofree char *helper = g_build_filename (folder, "rakelight-heif", NULL);
  g_autofree char *path = g_build_filename (folder, "answer", NULL);
  g_autofree char *text =
      g_strdup_printf ("#!/bin/sh\nPATH=/usr/bin:/bin answer=%s\n%s\n", path, script);

  assert_true (g_file_set_contents (helper, text, -1, NULL));
  assert_int_equal (g_chmod (helper, 0700), 0);
  if (answer != NULL)
    assert_true (g_file_set_contents (path, (const char *) answer->data, answer->len, NULL));
}

static RakePhotoPicture *
decode (RakePhotoExif *exif, GCancellable *cancellable, GError **error)
{
  g_autoptr (GBytes) bytes = g_bytes_new_static (heic, sizeof heic);

  return rake_photo_picture_new_from_heif (bytes, exif, cancellable, error);
}

static GByteArray *
make_answer (RakeHeifHead head, guint n_rows)
{
  GByteArray *answer = g_byte_array_new ();

  g_byte_array_append (answer, (const guint8 *) &head, sizeof head);
  for (guint i = 0; i < head.n_exif + n_rows; i++)
    g_byte_array_append (answer, (const guint8 *) &i, 1);
  return answer;
}

static void
heif_is_known_by_its_first_bytes (void **state)
{
  assert_true (rake_photo_is_heif (heic, sizeof heic));
  assert_false (rake_photo_is_heif (heic, 11));
  assert_false (rake_photo_is_heif ("\0\0\0\030ftypisom", 12));
  assert_false (rake_photo_is_heif ("\xff\xd8\xff\xe0----------", 14));
}

static void
rows_come_back_as_a_picture (void **state)
{
  g_autoptr (GByteArray) answer = make_answer ((RakeHeifHead){ RAKE_HEIF_MAGIC, 2, 3, 5 }, 18);
  g_autoptr (RakePhotoPicture) picture = NULL;
  RakePhotoExif exif = { .turn = 6 };

  /* the bytes that were handed on are those that came */
  stand_in ("test \"$(wc -c)\" -eq 24 && cat $answer", answer);
  picture = decode (&exif, NULL, NULL);
  assert_non_null (picture);
  assert_int_equal (rake_photo_picture_get_width (picture), 2);
  assert_int_equal (rake_photo_picture_get_height (picture), 3);
  for (guint8 i = 0; i < 18; i++)
    assert_int_equal (rake_photo_picture_get_rgb (picture)[i], 5 + i);
  assert_int_equal (exif.turn, 1);
}

static void
a_decoder_that_fails_in_any_way_is_a_refusal (void **state)
{
  g_autoptr (GByteArray) few = make_answer ((RakeHeifHead){ RAKE_HEIF_MAGIC, 2, 3, 0 }, 17);
  g_autoptr (GByteArray) other = make_answer ((RakeHeifHead){ 7, 2, 3, 0 }, 18);
  g_autoptr (GByteArray) none = make_answer ((RakeHeifHead){ RAKE_HEIF_MAGIC, 0, 3, 0 }, 0);
  g_autoptr (GByteArray) huge =
      make_answer ((RakeHeifHead){ RAKE_HEIF_MAGIC, 40000, 40000, 0 }, 18);
  g_autoptr (GByteArray) wrapped =
      make_answer ((RakeHeifHead){ RAKE_HEIF_MAGIC, 65536, 65536, 0 }, 18);
  g_autoptr (GByteArray) notes = make_answer ((RakeHeifHead){ RAKE_HEIF_MAGIC, 2, 3, 0 }, 18);
  RakeHeifHead head = { RAKE_HEIF_MAGIC, 2, 3, 0xffffffff };
  const struct
  {
    const char *script;
    GByteArray *answer;
    RakePhotoPictureError code;
  } cases[] = {
    { "exit 0", NULL, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "exit 10", NULL, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "exit 11", NULL, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE },
    { "kill -SEGV $$", NULL, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat $answer", few, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat $answer", other, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat $answer", none, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat $answer", huge, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat $answer", wrapped, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat $answer", notes, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
    { "cat /dev/zero", NULL, RAKE_PHOTO_PICTURE_ERROR_DAMAGED },
  };

  memcpy (notes->data, &head, sizeof head);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      stand_in (cases[i].script, cases[i].answer);
      if (decode (NULL, NULL, &error) != NULL)
        fail_msg ("case %zu: taken for a picture", i);
      if (!g_error_matches (error, RAKE_PHOTO_PICTURE_ERROR, cases[i].code))
        fail_msg ("case %zu: %s", i, error->message);
    }
}

static gpointer
cancel_soon (gpointer cancellable)
{
  g_usleep (100000);
  g_cancellable_cancel (cancellable);
  return NULL;
}

static void
a_decoder_that_never_ends_is_ended_when_cancelled (void **state)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL, *path = g_build_filename (folder, "answer", NULL);
  GThread *thread;

  stand_in ("echo $$ >$answer; exec sleep 1000", NULL);
  thread = g_thread_new ("cancel", cancel_soon, cancellable);
  assert_null (decode (NULL, cancellable, &error));
  g_thread_join (thread);
  assert_true (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED));
  /* gone, if it had come so far as to say its number */
  if (g_file_get_contents (path, &text, NULL, NULL) && *text != '\0')
    {
      g_autofree char *process = g_strdup_printf ("/proc/%s", g_strchomp (text));
      assert_false (g_file_test (process, G_FILE_TEST_EXISTS));
    }
}

static void
without_the_program_it_says_what_to_do (void **state)
{
  g_autofree char *helper = g_build_filename (folder, "rakelight-heif", NULL);
  g_autoptr (GError) error = NULL;

  g_unlink (helper);
  assert_null (decode (NULL, NULL, &error));
  assert_true (g_error_matches (error, RAKE_PHOTO_HEIF_ERROR, RAKE_PHOTO_HEIF_ERROR_NOT_HERE));
  assert_non_null (strstr (error->message, "JPEG"));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (heif_is_known_by_its_first_bytes),
    cmocka_unit_test (rows_come_back_as_a_picture),
    cmocka_unit_test (a_decoder_that_fails_in_any_way_is_a_refusal),
    cmocka_unit_test (a_decoder_that_never_ends_is_ended_when_cancelled),
    cmocka_unit_test (without_the_program_it_says_what_to_do),
  };

  return cmocka_run_group_tests (tests, set_up, clean_up);
}
