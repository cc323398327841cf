/* test-palette.c - text and glyphs can be read, and verdicts told apart by every eye.
 *
 * Sources: W3C, Web Content Accessibility Guidelines 2.1, success criteria 1.4.3 (text 4.5 : 1) and
 * 1.4.11 (graphics 3 : 1), with its definitions of contrast ratio and relative luminance. Machado,
 * Oliveira and Fernandes, "A physiologically-based model for simulation of color vision
 * deficiency", IEEE TVCG 15 (6), 2009: the matrices for severity 1.0, applied to linear light.
 * CIE 15: L*a*b* and its Euclidean difference. A difference of about 2.3 is just noticeable (Mahy
 * and others, 1994, from memory); we ask for 12, so that small glyphs at arm's length still differ. */
#include <rakelight/palette.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#define LEAST_DIFFERENCE 12.0

static const char *const theme_names[] = { "dark", "light", "paper" };
static const char *const verdict_names[] = { "none", "ready", "sand again", "look again",
                                             "wait", "stop",  "repair" };

static void
contrast_agrees_with_published_ratios (void **state)
{
  static const struct
  {
    const char *source;
    RakeColour a, b;
    double ratio, within;
  } cases[] = {
    { "WCAG 2.1: black on white", { 0, 0, 0, 1 }, { 1, 1, 1, 1 }, 21.0, 0.001 },
    { "WCAG 2.1: a colour on itself", { .2, .4, .6, 1 }, { .2, .4, .6, 1 }, 1.0, 0.001 },
    /* G18's well-known limit: #767676 is the lightest grey that passes on white. */
    { "#767676 on white", { 118 / 255., 118 / 255., 118 / 255., 1 }, { 1, 1, 1, 1 }, 4.54, 0.005 },
    { "#777777 on white", { 119 / 255., 119 / 255., 119 / 255., 1 }, { 1, 1, 1, 1 }, 4.48, 0.005 },
    { "pure red on white", { 1, 0, 0, 1 }, { 1, 1, 1, 1 }, 4.00, 0.005 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      double one = rake_colour_contrast (cases[i].a, cases[i].b);
      double other = rake_colour_contrast (cases[i].b, cases[i].a);
      if (ABS (one - cases[i].ratio) > cases[i].within || one != other)
        fail_msg ("%s: %.3f and %.3f, expected %.2f", cases[i].source, one, other, cases[i].ratio);
    }
}

static void
expect_contrast (RakeTheme theme, const char *what, RakeColour colour, double least)
{
  const RakePalette *palette = rake_palette_get (theme);
  const struct
  {
    const char *name;
    RakeColour colour;
  } grounds[] = {
    { "ground", palette->ground },
    { "panel", palette->panel },
    { "card", palette->card },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (grounds); i++)
    {
      double contrast = rake_colour_contrast (colour, grounds[i].colour);
      if (contrast < least)
        fail_msg ("%s on %s, %s theme: %.2f : 1, at least %.1f wanted", what, grounds[i].name,
                  theme_names[theme], contrast, least);
    }
}

static void
text_can_be_read_everywhere (void **state)
{
  for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
    {
      const RakePalette *palette = rake_palette_get (theme);
      expect_contrast (theme, "ink", palette->ink, 4.5);
      expect_contrast (theme, "soft ink", palette->soft_ink, 4.5);
      expect_contrast (theme, "lamp", palette->lamp, 4.5);
      for (RakeVerdict verdict = RAKE_VERDICT_NONE; verdict < RAKE_N_VERDICTS; verdict++)
        expect_contrast (theme, verdict_names[verdict], palette->verdict[verdict], 4.5);
    }
}

/* Text on the one filled main action is the ground by night and the ink by day. */
static void
text_on_the_lamp_fill_can_be_read (void **state)
{
  const RakePalette *dark = rake_palette_get (RAKE_THEME_DARK);
  const RakePalette *light = rake_palette_get (RAKE_THEME_LIGHT);

  assert_true (rake_colour_contrast (dark->ground, dark->lamp_fill) >= 4.5);
  assert_true (rake_colour_contrast (light->ink, light->lamp_fill) >= 4.5);
}

static void
the_piece_is_the_brightest_thing_in_the_dark_room (void **state)
{
  const RakePalette *dark = rake_palette_get (RAKE_THEME_DARK);
  RakeColour black = { 0, 0, 0, 1 };

  assert_true (rake_colour_contrast (dark->wood, black) > rake_colour_contrast (dark->card, black));
  assert_true (rake_colour_contrast (dark->wood_shadow, black) >
               rake_colour_contrast (dark->ground, black));
  assert_true (rake_colour_contrast (dark->wood, dark->ground) >= 3.0);
}

/* --- simulated sight ------------------------------------------------------------------------ */

static const struct
{
  const char *name;
  double matrix[3][3];
} sights[] = {
  { "usual", { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } } },
  { "protan",
    { { 0.152286, 1.052583, -0.204868 },
      { 0.114503, 0.786281, 0.099216 },
      { -0.003882, -0.048116, 1.051998 } } },
  { "deutan",
    { { 0.367322, 0.860646, -0.227968 },
      { 0.280085, 0.672501, 0.047413 },
      { -0.011820, 0.042940, 0.968881 } } },
  { "tritan",
    { { 1.255528, -0.076749, -0.178779 },
      { -0.078411, 0.930809, 0.147602 },
      { 0.004733, 0.691367, 0.303900 } } },
};

static double
to_linear (double channel)
{
  return channel <= 0.04045 ? channel / 12.92 : pow ((channel + 0.055) / 1.055, 2.4);
}

static double
lab_function (double t)
{
  const double delta = 6.0 / 29.0;

  return t > delta * delta * delta ? cbrt (t) : t / (3 * delta * delta) + 4.0 / 29.0;
}

/* sRGB primaries and D65 white, IEC 61966-2-1. */
static void
linear_to_lab (const double rgb[3], double lab[3])
{
  double x = (0.4124564 * rgb[0] + 0.3575761 * rgb[1] + 0.1804375 * rgb[2]) / 0.95047;
  double y = 0.2126729 * rgb[0] + 0.7151522 * rgb[1] + 0.0721750 * rgb[2];
  double z = (0.0193339 * rgb[0] + 0.1191920 * rgb[1] + 0.9503041 * rgb[2]) / 1.08883;

  lab[0] = 116 * lab_function (y) - 16;
  lab[1] = 500 * (lab_function (x) - lab_function (y));
  lab[2] = 200 * (lab_function (y) - lab_function (z));
}

static void
see (RakeColour colour, const double matrix[3][3], double lab[3])
{
  double linear[3] = { to_linear (colour.red), to_linear (colour.green), to_linear (colour.blue) };
  double seen[3];

  for (guint i = 0; i < 3; i++)
    seen[i] = CLAMP (matrix[i][0] * linear[0] + matrix[i][1] * linear[1] + matrix[i][2] * linear[2],
                     0, 1);
  linear_to_lab (seen, lab);
}

static double
difference_seen (RakeColour a, RakeColour b, const double matrix[3][3])
{
  double one[3], other[3];

  see (a, matrix, one);
  see (b, matrix, other);
  return sqrt (pow (one[0] - other[0], 2) + pow (one[1] - other[1], 2) +
               pow (one[2] - other[2], 2));
}

static void
lab_agrees_with_published_values (void **state)
{
  /* sRGB red, green, blue under D65 with the matrix above (the usual published table). */
  static const struct
  {
    double rgb[3], lab[3];
  } cases[] = {
    { { 1, 0, 0 }, { 53.24, 80.09, 67.20 } },
    { { 0, 1, 0 }, { 87.73, -86.18, 83.18 } },
    { { 0, 0, 1 }, { 32.30, 79.19, -107.86 } },
    { { 1, 1, 1 }, { 100, 0, 0 } },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      double lab[3];
      linear_to_lab (cases[i].rgb, lab);
      for (guint k = 0; k < 3; k++)
        if (ABS (lab[k] - cases[i].lab[k]) > 0.02)
          fail_msg ("case %zu, part %u: %.3f, expected %.2f", i, k, lab[k], cases[i].lab[k]);
    }
}

static void
verdicts_stay_apart_in_every_sight (void **state)
{
  for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_LIGHT; theme++)
    for (gsize sight = 0; sight < G_N_ELEMENTS (sights); sight++)
      for (RakeVerdict a = RAKE_VERDICT_READY; a < RAKE_N_VERDICTS; a++)
        for (RakeVerdict b = a + 1; b < RAKE_N_VERDICTS; b++)
          {
            const RakePalette *palette = rake_palette_get (theme);
            double difference =
                difference_seen (palette->verdict[a], palette->verdict[b], sights[sight].matrix);
            if (difference < LEAST_DIFFERENCE)
              fail_msg ("%s and %s, %s theme, %s sight: %.1f apart, at least %.0f wanted",
                        verdict_names[a], verdict_names[b], theme_names[theme], sights[sight].name,
                        difference, LEAST_DIFFERENCE);
          }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (contrast_agrees_with_published_ratios),
    cmocka_unit_test (text_can_be_read_everywhere),
    cmocka_unit_test (text_on_the_lamp_fill_can_be_read),
    cmocka_unit_test (the_piece_is_the_brightest_thing_in_the_dark_room),
    cmocka_unit_test (lab_agrees_with_published_values),
    cmocka_unit_test (verdicts_stay_apart_in_every_sight),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
