/* palette.c - the three palettes, and how far two colours stand apart.
 *
 * Verdict colours were moved from the first sketch, by 8 units of CIELAB at most, until every pair
 * stands at least 12 apart in the three simulated colour-blind sights as well: by daylight *sand
 * again* and *stop* were one brown (3 apart, deutan), *ready* and *wait* nearly one grey (5). The
 * lamp's amber as text was too pale by daylight (3.9 : 1 on the ground) and is darker. */
#include <rakelight/palette.h>

#include <math.h>

#define RGB(hex) \
  { ((hex) >> 16 & 0xff) / 255.0, ((hex) >> 8 & 0xff) / 255.0, ((hex) & 0xff) / 255.0, 1.0 }

static const RakePalette palettes[] = {
  [RAKE_THEME_DARK] = {
    .ground = RGB (0x1b1816),
    .panel = RGB (0x24211d),
    .card = RGB (0x2e2a26),
    .line = RGB (0x4a443c),
    .ink = RGB (0xf0e7da),
    .soft_ink = RGB (0xa89d8e),
    .lamp = RGB (0xffcf7a),
    .lamp_fill = RGB (0xffcf7a),
    .wood = RGB (0x885d32),
    .wood_shadow = RGB (0x3a2618),
    .verdict = {
      [RAKE_VERDICT_NONE] = RGB (0xa89d8e),
      [RAKE_VERDICT_READY] = RGB (0x7ccdab),
      [RAKE_VERDICT_SAND_AGAIN] = RGB (0xedad52),
      [RAKE_VERDICT_LOOK_AGAIN] = RGB (0x99b9ed),
      [RAKE_VERDICT_WAIT] = RGB (0x98948d),
      [RAKE_VERDICT_STOP] = RGB (0xef7c6e),
      [RAKE_VERDICT_REPAIR] = RGB (0xc886c4),
    },
  },
  [RAKE_THEME_LIGHT] = {
    .ground = RGB (0xf4f1ec),
    .panel = RGB (0xf9f7f4),
    .card = RGB (0xffffff),
    .line = RGB (0xd4ccc2),
    .ink = RGB (0x26211c),
    .soft_ink = RGB (0x6b6359),
    .lamp = RGB (0x935a00),
    .lamp_fill = RGB (0xdb941a),
    .wood = RGB (0xc99350),
    .wood_shadow = RGB (0x9a7350),
    .verdict = {
      [RAKE_VERDICT_NONE] = RGB (0x6b6359),
      [RAKE_VERDICT_READY] = RGB (0x27744d),
      [RAKE_VERDICT_SAND_AGAIN] = RGB (0x9c5b00),
      [RAKE_VERDICT_LOOK_AGAIN] = RGB (0x225fb3),
      [RAKE_VERDICT_WAIT] = RGB (0x585859),
      [RAKE_VERDICT_STOP] = RGB (0xaa1b20),
      [RAKE_VERDICT_REPAIR] = RGB (0x793088),
    },
  },
  /* What is printed must be told apart with no colour at all, so verdicts are plain ink here. */
  [RAKE_THEME_PAPER] = {
    .ground = RGB (0xffffff),
    .panel = RGB (0xffffff),
    .card = RGB (0xffffff),
    .line = RGB (0xb0b0b0),
    .ink = RGB (0x000000),
    .soft_ink = RGB (0x4d4d4d),
    .lamp = RGB (0x935a00),
    .lamp_fill = RGB (0xdb941a),
    .wood = RGB (0xffffff),
    .wood_shadow = RGB (0xebebeb),
    .verdict = {
      [RAKE_VERDICT_NONE] = RGB (0x4d4d4d),
      [RAKE_VERDICT_READY] = RGB (0x000000),
      [RAKE_VERDICT_SAND_AGAIN] = RGB (0x000000),
      [RAKE_VERDICT_LOOK_AGAIN] = RGB (0x000000),
      [RAKE_VERDICT_WAIT] = RGB (0x000000),
      [RAKE_VERDICT_STOP] = RGB (0x000000),
      [RAKE_VERDICT_REPAIR] = RGB (0x000000),
    },
  },
};

const RakePalette *
rake_palette_get (RakeTheme theme)
{
  g_return_val_if_fail ((guint) theme < G_N_ELEMENTS (palettes), &palettes[RAKE_THEME_DARK]);
  return &palettes[theme];
}

static double
to_linear (double channel)
{
  /* WCAG 2.1 prints 0.03928 here, IEC 61966-2-1 has 0.04045; no 8-bit value lies between. */
  return channel <= 0.04045 ? channel / 12.92 : pow ((channel + 0.055) / 1.055, 2.4);
}

static double
relative_luminance (RakeColour colour)
{
  return 0.2126 * to_linear (colour.red) + 0.7152 * to_linear (colour.green) +
         0.0722 * to_linear (colour.blue);
}

double
rake_colour_contrast (RakeColour a, RakeColour b)
{
  double one = relative_luminance (a), other = relative_luminance (b);

  return (MAX (one, other) + 0.05) / (MIN (one, other) + 0.05);
}
