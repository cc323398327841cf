/* print-sums.c - sums as text, for checking with libraries that are not ours.
 *
 * print-sums SEED prints lines of fields parted by tabs: a word, the numbers given, the numbers found,
 * each with 17 digits. sums-against-scipy.py knows what the words mean. */
#include <rakelight/grade.h>
#include <rakelight/statistics.h>

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
  return 0;
}
