/* heif-helper.c - rakelight-heif: a HEIC picture on standard input, rows of colours on standard output.
 *
 * It trusts nothing that it reads. Before the first byte is looked at, it has given up everything that
 * decoding does not need: files, other programs, more than so much memory and time. */
#include "heif-frame.h"

#include <errno.h>
#include <libheif/heif.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

/* Rows of 100 megapixels, the same again as brightness and colour, and the decoder's own. */
#define MOST_MEMORY ((rlim_t) 1200 * 1024 * 1024)
#define MOST_SECONDS 20
#define MOST_SIDE 32767

static void
limit (int resource, rlim_t most)
{
  const struct rlimit limits = { most, most };

  if (setrlimit (resource, &limits) != 0)
    _exit (RAKE_HEIF_DAMAGED);
}

static void
give_up_rights (void)
{
  prctl (PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
  prctl (PR_SET_DUMPABLE, 0, 0, 0, 0);
  limit (RLIMIT_CORE, 0);
  limit (RLIMIT_FSIZE, 0);
  limit (RLIMIT_NOFILE, 0);
  limit (RLIMIT_CPU, MOST_SECONDS);
#ifndef __SANITIZE_ADDRESS__ /* which reserves more than there is */
  limit (RLIMIT_AS, MOST_MEMORY);
#endif
}

/* All of standard input; NULL when it is too much. */
static unsigned char *
read_all (size_t *n_bytes)
{
  unsigned char *bytes = malloc (RAKE_HEIF_MAX_BYTES + 1);
  ssize_t n = 1;

  *n_bytes = 0;
  while (bytes != NULL && n != 0 && *n_bytes <= RAKE_HEIF_MAX_BYTES)
    {
      n = read (STDIN_FILENO, bytes + *n_bytes, RAKE_HEIF_MAX_BYTES + 1 - *n_bytes);
      if (n < 0 && errno != EINTR)
        _exit (RAKE_HEIF_DAMAGED);
      *n_bytes += n > 0 ? (size_t) n : 0;
    }
  return *n_bytes <= RAKE_HEIF_MAX_BYTES ? bytes : NULL;
}

static void
write_all (const void *bytes, size_t n_bytes)
{
  size_t written = 0;

  while (written < n_bytes)
    {
      ssize_t n = write (STDOUT_FILENO, (const char *) bytes + written, n_bytes - written);
      if (n < 0 && errno != EINTR)
        _exit (RAKE_HEIF_DAMAGED);
      written += n > 0 ? (size_t) n : 0;
    }
}

static void
must (struct heif_error error)
{
  if (error.code != heif_error_Ok)
    _exit (error.code == heif_error_Memory_allocation_error ? RAKE_HEIF_TOO_LARGE
                                                            : RAKE_HEIF_DAMAGED);
}

/* What the camera wrote, as it lies in the file; NULL when there is none. */
static void *
get_exif (const struct heif_image_handle *handle, size_t *n_exif)
{
  heif_item_id id;
  void *block;

  *n_exif = 0;
  if (heif_image_handle_get_list_of_metadata_block_IDs (handle, "Exif", &id, 1) != 1)
    return NULL;
  *n_exif = heif_image_handle_get_metadata_size (handle, id);
  if (*n_exif > RAKE_HEIF_MAX_EXIF)
    *n_exif = 0;
  block = *n_exif > 0 ? malloc (*n_exif) : NULL;
  if (block == NULL || heif_image_handle_get_metadata (handle, id, block).code != heif_error_Ok)
    *n_exif = 0;
  return block;
}

static void
check_size (long long width, long long height)
{
  if (width < 1 || height < 1)
    _exit (RAKE_HEIF_DAMAGED);
  if (width > MOST_SIDE || height > MOST_SIDE || width * height > RAKE_HEIF_MAX_PIXELS)
    _exit (RAKE_HEIF_TOO_LARGE);
}

/* The size that the container tells may be another than the picture's: both are looked at. */
static void
hand_out (const struct heif_image_handle *handle, const struct heif_image *image)
{
  RakeHeifHead head = { .magic = RAKE_HEIF_MAGIC };
  int width = heif_image_get_width (image, heif_channel_interleaved);
  int height = heif_image_get_height (image, heif_channel_interleaved);
  int stride = 0;
  const uint8_t *rows = heif_image_get_plane_readonly (image, heif_channel_interleaved, &stride);
  size_t n_exif;
  const void *exif = get_exif (handle, &n_exif);

  check_size (width, height);
  if (rows == NULL || stride < 3 * width)
    _exit (RAKE_HEIF_DAMAGED);
  head.width = (uint32_t) width;
  head.height = (uint32_t) height;
  head.n_exif = (uint32_t) n_exif;
  write_all (&head, sizeof head);
  write_all (exif, n_exif);
  for (int y = 0; y < height; y++)
    write_all (rows + (size_t) y * (size_t) stride, 3 * (size_t) width);
}

int
main (void)
{
  struct heif_context *context;
  struct heif_image_handle *handle = NULL;
  struct heif_image *image = NULL;
  unsigned char *bytes;
  size_t n_bytes;

  /* the library looks for decoders in files: before they are given up */
  heif_init (NULL);
  context = heif_context_alloc ();
  give_up_rights ();
  bytes = read_all (&n_bytes);
  if (bytes == NULL)
    _exit (RAKE_HEIF_TOO_LARGE);
  heif_context_set_maximum_image_size_limit (context, MOST_SIDE);
  heif_context_set_max_decoding_threads (context, 0);
  must (heif_context_read_from_memory_without_copy (context, bytes, n_bytes, NULL));
  must (heif_context_get_primary_image_handle (context, &handle));
  check_size (heif_image_handle_get_width (handle), heif_image_handle_get_height (handle));
  must (heif_decode_image (handle, &image, heif_colorspace_RGB, heif_chroma_interleaved_RGB, NULL));
  hand_out (handle, image);
  /* the system takes all of it back, quicker and without running more of the library */
  _exit (RAKE_HEIF_DONE);
}
