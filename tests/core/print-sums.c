/* print-sums.c - sums as text, for checking with libraries that are not ours.
 *
 * print-sums SEED prints lines of fields parted by tabs: a word, the numbers given, the numbers found,
 * each with 17 digits. sums-against-scipy.py knows what the words mean. */
#include <rakelight/coating.h>
#include <rakelight/entry.h>
#include <rakelight/gloss.h>
#include <rakelight/grade.h>
#include <rakelight/statistics.h>
#include <rakelight/units.h>

#include <math.h>
#include <stdlib.h>

static void
print (double number)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  g_print ("\t%s", g_ascii_formatd (text, sizeof text, "%.17g", number));
}

static void
print_normal (void)
{
  for (double z = -37; z <= 8; z += 0.0625)
    {
      g_print ("cdf");
      print (z);
      print (rake_normal_cdf (z));
      g_print ("\n");
    }
  for (double p = 1e-300; p < 1; p *= 3.1)
    {
      g_print ("quantile");
      print (p);
      print (rake_normal_quantile (p));
      g_print ("\n");
    }
}

static void
print_students (void)
{
  static const double degrees[] = { 1, 1.5, 2, 3, 4, 7, 10, 30, 120, 1000, 50000 };
  static const double shares[] = { 1e-9, 1e-4, 0.01, 0.1, 0.4, 0.6, 0.8, 0.9, 0.95, 0.975, 0.999,
                                   1 - 1e-9 };

  for (gsize d = 0; d < G_N_ELEMENTS (degrees); d++)
    for (gsize s = 0; s < G_N_ELEMENTS (shares); s++)
      {
        g_print ("student");
        print (shares[s]);
        print (degrees[d]);
        print (rake_student_quantile (shares[s], degrees[d]));
        g_print ("\n");
      }
}

static void
print_tolerances (void)
{
  static const double shares[] = { 0.5, 0.8, 0.9, 0.95, 0.99, 0.9999 };
  static const guint more[] = { 60, 100, 400, 3000 };

  for (guint i = 2; i < 41 + G_N_ELEMENTS (more); i++)
    for (gsize coverage = 0; coverage < G_N_ELEMENTS (shares); coverage++)
      for (gsize confidence = 1; confidence < G_N_ELEMENTS (shares); confidence++)
        {
          guint n = i <= 40 ? i : more[i - 41];

          g_print ("tolerance");
          print (n);
          print (shares[coverage]);
          print (shares[confidence]);
          print (rake_tolerance_factor (n, shares[coverage], shares[confidence]));
          g_print ("\n");
        }
}

static void
print_samples (GRand *random)
{
  for (guint i = 0; i < 200; i++)
    {
      guint n = (guint) g_rand_int_range (random, 2, 40);
      double middle = pow (10, g_rand_double_range (random, -2, 6));
      double *values = g_new (double, n);
      RakeSample sample;

      g_print ("sample");
      for (guint k = 0; k < n; k++)
        {
          values[k] = middle + g_rand_double_range (random, -1, 1);
          print (values[k]);
        }
      sample = rake_sample_take (values, n);
      print (sample.mean);
      print (sample.sd);
      print (sample.least);
      print (sample.largest);
      print (sample.standard_error);
      g_print ("\n");
      g_free (values);
    }
}

/* Lines and, with the same numbers, opinions. */
static void
print_lines (GRand *random)
{
  for (guint i = 0; i < 200; i++)
    {
      guint n = (guint) g_rand_int_range (random, 2, 12);
      double x[12], y[12], weights[12];
      RakeNormal both = { 0, INFINITY };
      RakeLine line = { 0 };

      g_print ("line");
      for (guint k = 0; k < n; k++)
        {
          x[k] = g_rand_double_range (random, 0, 40);
          y[k] = g_rand_double_range (random, -3, 3);
          weights[k] = pow (10, g_rand_double_range (random, -2, 3));
          both = rake_normal_combine (both, (RakeNormal){ y[k], 1 / sqrt (weights[k]) });
          print (x[k]);
          print (y[k]);
          print (weights[k]);
        }
      if (!rake_line_fit (x, y, weights, n, &line))
        g_printerr ("no line through %u points\n", n);
      print (line.intercept);
      print (line.slope);
      print (line.var_intercept);
      print (line.var_slope);
      print (line.covariance);
      print (both.mean);
      print (both.sd);
      g_print ("\n");
    }
}

/* The table as "grade SYSTEM NUMBER MEDIAN", and "nearest MEDIAN SYSTEM MEDIAN" for every grade and
 * some sizes in between. */
static void
print_grades (void)
{
  guint n = rake_grade_get_n ();

  for (guint i = 0; i < n; i++)
    {
      const RakeGrade *grade = rake_grade_get (i);

      g_print ("grade");
      print (grade->system);
      print (grade->number);
      print (grade->d50_um);
      g_print ("\n");
    }
  for (guint i = 0; i < 3 * n; i++)
    for (RakeGradeSystem system = 1; system < RAKE_N_GRADE_SYSTEMS; system++)
      {
        double d50_um = rake_grade_get (i / 3)->d50_um * (1 + 0.09 * (i % 3));

        g_print ("nearest");
        print (d50_um);
        print (system);
        print (rake_grade_find_nearest (d50_um, system)->d50_um);
        g_print ("\n");
      }
}

/* "coat WAY" with what was said and the film that comes of it; half the doubts are left to be usual. */
static void
print_coats (GRand *random)
{
  for (guint i = 0; i < 400; i++)
    {
      g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_COAT);
      RakeCoatBody *coat = &entry->coat;
      RakeNormal dry = { NAN, NAN };
      gboolean with_doubts = g_rand_boolean (random);

      coat->volume_solids_fraction = g_rand_double_range (random, 0.1, 0.9);
      coat->thinner_fraction = g_rand_double_range (random, 0, 1);
      if (i % 2 == 0)
        coat->wet_um = g_rand_double_range (random, 20, 300);
      else
        {
          coat->mass_g = g_rand_double_range (random, 50, 500);
          coat->density_g_per_ml = g_rand_double_range (random, 0.8, 1.4);
          coat->area_mm2 = g_rand_double_range (random, 2e5, 2e6);
          coat->transfer_fraction = g_rand_double_range (random, 0.3, 0.9);
        }
      if (with_doubts)
        {
          coat->wet_sd_um = g_rand_double_range (random, 0, 20);
          coat->volume_solids_sd_fraction = g_rand_double_range (random, 0, 0.05);
          coat->transfer_sd_fraction = g_rand_double_range (random, 0, 0.2);
        }
      rake_coating_take (coat, &dry, NULL);
      g_print ("coat");
      print (coat->wet_um);
      print (coat->mass_g);
      print (coat->density_g_per_ml);
      print (coat->area_mm2);
      print (coat->transfer_fraction);
      print (coat->volume_solids_fraction);
      print (coat->thinner_fraction);
      print (coat->wet_sd_um);
      print (coat->volume_solids_sd_fraction);
      print (coat->transfer_sd_fraction);
      print (dry.mean);
      print (dry.sd);
      g_print ("\n");
    }
}

static void
print_gloss (void)
{
  for (double n = 1.3; n < 1.8; n += 0.01)
    for (double angle_deg = 0; angle_deg < 90; angle_deg += 5)
      {
        g_print ("gloss");
        print (n);
        print (angle_deg);
        print (rake_gloss_of_index_gu (n, angle_deg));
        g_print ("\n");
      }
}

/* "read UNIT NUMBER STORED" for every unit that can be written, and "write UNIT STORED NUMBER" for
 * those shown: the words are GNU units'. */
static void
print_units (void)
{
  static const struct
  {
    RakeMeasure measure;
    const char *sign, *word;
  } units[] = {
    { RAKE_MEASURE_FILM, "µm", "um" },       { RAKE_MEASURE_FILM, "mil", "mil" },
    { RAKE_MEASURE_FILM, "thou", "mil" },    { RAKE_MEASURE_FILM, "mm", "mm" },
    { RAKE_MEASURE_FILM, "cm", "cm" },       { RAKE_MEASURE_FILM, "m", "m" },
    { RAKE_MEASURE_LENGTH, "mm", "mm" },     { RAKE_MEASURE_LENGTH, "cm", "cm" },
    { RAKE_MEASURE_LENGTH, "m", "m" },       { RAKE_MEASURE_LENGTH, "in", "inch" },
    { RAKE_MEASURE_TEMPERATURE, "°C", "tempC" }, { RAKE_MEASURE_TEMPERATURE, "°F", "tempF" },
    { RAKE_MEASURE_SPEED, "m/s", "m/s" },    { RAKE_MEASURE_SPEED, "ft/min", "ft/min" },
    { RAKE_MEASURE_MASS, "g", "g" },         { RAKE_MEASURE_MASS, "kg", "kg" },
    { RAKE_MEASURE_MASS, "oz", "oz" },       { RAKE_MEASURE_DENSITY, "g/mL", "g/ml" },
    { RAKE_MEASURE_DENSITY, "kg/L", "kg/l" }, { RAKE_MEASURE_AREA, "m²", "m^2" },
    { RAKE_MEASURE_AREA, "cm²", "cm^2" },    { RAKE_MEASURE_AREA, "ft²", "ft^2" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    for (double number = 0.125; number < 2000; number *= 5.3)
      {
        char digits[G_ASCII_DTOSTR_BUF_SIZE];
        g_autofree char *text = g_strdup_printf (
            "%s %s", g_ascii_formatd (digits, sizeof digits, "%.12g", number), units[i].sign);
        double stored = NAN;

        rake_units_parse (units[i].measure, text, -1e12, 1e12, &stored, NULL);
        g_print ("read\t%s\t%d\t%s", units[i].word, (int) units[i].measure, digits);
        print (stored);
        g_print ("\n");
      }
  for (int customary = 0; customary <= 1; customary++)
    for (RakeMeasure measure = RAKE_MEASURE_FILM; measure <= RAKE_MEASURE_SPEED; measure++)
      {
        static const char *const words[2][4] = { { "um", "mm", "tempC", "m/s" },
                                                 { "mil", "inch", "tempF", "ft/min" } };

        rake_units_choose ((RakeUnits){ customary, customary, customary });
        for (double stored = 0.75; stored < 5000; stored *= 2.7)
          {
            g_autofree char *number = rake_units_to_number (measure, stored);

            g_print ("write\t%s\t%d", words[customary][measure], measure);
            print (stored);
            g_print ("\t%s\n", number);
          }
      }
}

int
main (int argc, char **argv)
{
  g_autoptr (GRand) random = NULL;

  if (argc != 2)
    {
      g_printerr ("print-sums SEED\n");
      return 2;
    }
  random = g_rand_new_with_seed ((guint32) g_ascii_strtoull (argv[1], NULL, 10));
  print_normal ();
  print_students ();
  print_tolerances ();
  print_samples (random);
  print_lines (random);
  print_grades ();
  print_coats (random);
  print_gloss ();
  print_units ();
  return 0;
}
