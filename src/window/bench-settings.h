/* bench-settings.h - how looks and passes are recorded, as a list of settings with a few values each.
 *
 * A value is a number: an enumeration's, degrees, or millimetres. */
#pragma once
#include "session.h"

typedef struct
{
  const char *name;      /* of its action, "surface" */
  const char *caption;   /* untranslated */
  const double *values;
  guint n_values;
  double (*get) (const RakeBench *bench);
  void (*set) (RakeBench *bench, double value);
  char *(*say) (double value); /* translated; caller frees */
  gboolean is_direction;
} RakeBenchSetting;

const RakeBenchSetting *rake_bench_settings_get (guint *n_settings);
const RakeBenchSetting *rake_bench_settings_find (const char *name);

/* The value after the present one, round and round; the first when the present is none of them. */
double rake_bench_setting_get_next (const RakeBenchSetting *setting, const RakeBench *bench);
