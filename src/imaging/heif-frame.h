/* heif-frame.h - what rakelight-heif and its caller say to each other.
 *
 * In: the bytes of a HEIC file on standard input, until its end. Out: a head, what the camera wrote, rows
 * of red, green, blue from the top without gaps. Both ends are of one build, so numbers go as they are. */
#pragma once
#include <stdint.h>

#define RAKE_HEIF_MAGIC 0x48454946u
#define RAKE_HEIF_MAX_BYTES (64 * 1024 * 1024)
#define RAKE_HEIF_MAX_EXIF (1024 * 1024)
#define RAKE_HEIF_MAX_PIXELS 100000000

typedef struct
{
  uint32_t magic, width, height, n_exif;
} RakeHeifHead;

/* How the program ends; by a signal, or in any other way, is as good as DAMAGED. */
typedef enum
{
  RAKE_HEIF_DONE = 0,
  RAKE_HEIF_DAMAGED = 10,
  RAKE_HEIF_TOO_LARGE = 11,
} RakeHeifExit;
