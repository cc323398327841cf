/* test-svg-outline.c - drawings become the outlines they show, and hostile ones a sentence. */
#include <rakelight/outline.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#define SVG "<svg xmlns='http://www.w3.org/2000/svg'>"

static RakeShape *
read_svg (const char *svg, double mm_per_unit, GError **error)
{
  return rake_outline_new_from_svg (svg, strlen (svg), mm_per_unit, error);
}

typedef struct
{
  const char *what;
  const char *drawn;
  double width_mm, height_mm, area_mm2; /* area 0: refused */
  double within;
} Case;

static void
assert_case (const Case *c, const char *svg, double mm_per_unit)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = read_svg (svg, mm_per_unit, &error);
  RakeBounds bounds;

  if (c->area_mm2 == 0)
    {
      if (outline != NULL)
        fail_msg ("%s: taken, with %.3f mm²", c->what, rake_shape_get_area_mm2 (outline));
      assert_non_null (error);
      if (!g_str_has_suffix (error->message, ".") && error->code != RAKE_SVG_ERROR_NOT_SVG)
        fail_msg ("%s: not a sentence: %s", c->what, error->message);
      return;
    }
  if (outline == NULL)
    fail_msg ("%s: %s", c->what, error->message);
  bounds = rake_shape_get_bounds (outline);
  if (bounds.min_x_mm != 0 || bounds.min_y_mm != 0 ||
      fabs (bounds.max_x_mm - c->width_mm) > 0.011 ||
      fabs (bounds.max_y_mm - c->height_mm) > 0.011 ||
      fabs (rake_shape_get_area_mm2 (outline) - c->area_mm2) > c->within)
    fail_msg ("%s: %.3f × %.3f mm and %.3f mm², not %.3f × %.3f and %.3f", c->what, bounds.max_x_mm,
              bounds.max_y_mm, rake_shape_get_area_mm2 (outline), c->width_mm, c->height_mm,
              c->area_mm2);
}

/* Areas from geometry: polygons by hand, π r² and its shares, a parabola's segment two thirds of
 * its box, a cubic's by Green's theorem. A chord is off by 0.01 mm at most. */
static void
path_data_mean_what_the_standard_says (void **state)
{
  static const Case cases[] = {
    { "absolute", "M0 0 L100 0 L100 50 L0 50 Z", 100, 50, 5000, 0.001 },
    { "relative", "m10 10 l100 0 l0 50 l-100 0 z", 100, 50, 5000, 0.001 },
    { "pairs after a moveto are linetos", "M0 0 100 0 100 50 0 50Z", 100, 50, 5000, 0.001 },
    { "and relative ones relative", "m10,10 100,0 0,50 -100,0z", 100, 50, 5000, 0.001 },
    { "level and upright", "M0 0H100V50H0Z", 100, 50, 5000, 0.001 },
    { "relative, repeated", "M5 5h40 60v20 30h-100z", 100, 50, 5000, 0.001 },
    { "no separators but signs", "M0-10L100-10L100-60L0-60Z", 100, 50, 5000, 0.001 },
    { "no separators but points", "m.5.5l100.25.25.25 50-100.5-.25z", 100.5, 50.25, 5018.71875,
      0.02 },
    { "exponents", "M0 0 1e2 0 1E+2 5.0e1 0 500e-1Z", 100, 50, 5000, 0.001 },
    { "a point with nothing after it", "M0 0 100. 0 100. 50. 0 50.Z", 100, 50, 5000, 0.001 },
    { "plus signs, commas, lines, tabs", "\n M +0,0\t L+100 , +0,100,50\r\nL0,50 z ", 100, 50,
      5000, 0.001 },
    { "closed by coming back", "M0 0H100V50H0V0", 100, 50, 5000, 0.001 },
    { "all but closed", "M0 0H100V50H0V0.04", 100, 50, 5000, 0.1 },
    { "drawing on after z starts at the start", "M0 0H10V10H0Z l100 0 0 50 -100 0z", 100, 50, 4900,
      0.01 },
    { "a relative moveto after z too", "M20 20h10v10h-10z m-20-20h100v50h-100z", 100, 50, 4900,
      0.01 },
    { "a cubic", "M0 0C0 50 100 50 100 0Z", 100, 37.5, 3000, 0.7 },
    { "a cubic, relative and twice", "M0 0c0 50 100 50 100 0 0 -50 -100 -50 -100 0z", 100, 75, 6000,
      1.4 },
    { "a smooth one mirrors", "M0 0C0 50 100 50 100 0S0-50 0 0Z", 100, 75, 6000, 1.4 },
    { "a smooth one after a line does not", "M0 0L100 0S100 50 0 0Z", 100, 22.222, 1500, 0.7 },
    { "a quadratic", "M0 0Q50 100 100 0Z", 100, 50, 100 * 50 * 2.0 / 3, 0.7 },
    { "its smooth one", "M0 0Q50 100 100 0T200 0Z", 200, 100, 2 * 100 * 50 * 2.0 / 3, 1.4 },
    { "a smooth one after a line is a line", "M0 0L100 0T100 50L0 50Z", 100, 50, 5000, 0.01 },
    { "a circle of two arcs", "M0 50A50 50 0 1 1 100 50A50 50 0 1 1 0 50Z", 100, 100,
      G_PI * 2500, 2.2 },
    { "flags without separators", "M0 50a50 50 0 11100 0a50 50 0 11-100 0z", 100, 100, G_PI * 2500,
      2.2 },
    { "flags, then a sign or a point", "M0 5a5 5 0 0110 0 5 5 0 01-10.0 0z", 10, 10, G_PI * 25,
      0.3 },
    { "both arcs from one letter", "M0 50a50 50 0 1 1 100 0 50 50 0 1 1 -100 0z", 100, 100,
      G_PI * 2500, 2.2 },
    { "the small arc", "M0 0A50 50 0 0 1 50 50L0 50Z", 50, 50, G_PI * 625, 0.6 },
    { "the small arc, other way", "M0 0A50 50 0 0 0 50 50L0 50Z", 50, 50, 2500 - G_PI * 625, 0.6 },
    { "the large arc", "M0 0A50 50 0 1 1 50 50L50 0Z", 100, 100, G_PI * 7500 / 4, 1.7 },
    { "radii too small grow", "M0 0A1 1 0 0 1 100 0Z", 100, 50, G_PI * 1250, 1.2 },
    { "negative radii count as positive", "M0 0A-50-50 0 0 1 100 0Z", 100, 50, G_PI * 1250, 1.2 },
    { "no radius is a line", "M0 0A0 50 0 0 1 100 0V50H0Z", 100, 50, 5000, 0.001 },
    { "an arc to itself is nothing", "M0 0A50 50 0 1 1 0 0H100V50H0Z", 100, 50, 5000, 0.001 },
    { "a turned ellipse", "M-50 0A50 25 90 1 1 50 0A50 25 90 1 1-50 0Z", 100, 200, G_PI * 5000,
      4 },
    { "crossing itself: both lobes", "M0 0L100 100V0L0 100Z", 100, 100, 5000, 0.01 },

    { "no moveto", "L0 0 100 0 100 50Z", 0, 0, 0, 0 },
    { "a number first", "0 0 L 1 1", 0, 0, 0, 0 },
    { "half a pair", "M0 0 100 0 100 50 0Z", 0, 0, 0, 0 },
    { "a lone letter", "M0 0L", 0, 0, 0, 0 },
    { "an unknown letter", "M0 0X1 1Z", 0, 0, 0, 0 },
    { "nan", "M0 0Lnan 0 1 1Z", 0, 0, 0, 0 },
    { "inf", "M0 0Linf 0 1 1Z", 0, 0, 0, 0 },
    { "an infinite radius", "M0 0A1e999 5 0 0 1 10 10Z", 0, 0, 0, 0 },
    { "too large", "M0 0L1e300 0 1e300 1e300Z", 0, 0, 0, 0 },
    { "too small a radius to divide by", "M0 0A1e-320 1e-320 0 0 1 10 10V10Z", 0, 0, 0, 0 },
    { "further than our limit", "M0 0L200000 0 200000 10Z", 0, 0, 0, 0 },
    { "a flag that is none", "M0 0A5 5 0 2 1 10 0Z", 0, 0, 0, 0 },
    { "a hexadecimal", "M0 0L0x64 0 100 50Z", 0, 0, 0, 0 },
    { "a comma too many", "M0 0L100 0,,100 50Z", 0, 0, 0, 0 },
    { "a comma at the end of a set", "M0 0L100 0,100 50,Z", 0, 0, 0, 0 },
    { "two points in a number", "M0 0L1.2.3.4.5 0Z", 0, 0, 0, 0 },
    { "arguments for z", "M0 0H10V10Z5", 0, 0, 0, 0 },
    { "an open line", "M0 0H100V50H0", 0, 0, 0, 0 },
    { "nothing", "", 0, 0, 0, 0 },
    { "no area", "M0 0H100H50Z", 0, 0, 0, 0 },
    { "a letter beyond ASCII", "M0 0L10 0 ü 5Z", 0, 0, 0, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *svg = g_strdup_printf (SVG "<path d='%s'/></svg>", cases[i].drawn);
      assert_case (&cases[i], svg, 1);
    }
}

static void
shapes_and_transforms_are_drawn_where_they_stand (void **state)
{
  static const Case cases[] = {
    { "a rectangle", "<rect x='5' y='5' width='100' height='50'/>", 100, 50, 5000, 0.001 },
    { "its corners", "<rect width='100' height='50' rx='10'/>", 100, 50, 5000 - (4 - G_PI) * 100,
      0.7 },
    { "corners by one radius, clamped", "<rect width='100' height='50' ry='50'/>", 100, 50,
      100 * 50 - (4 - G_PI) * 50 * 25, 2 },
    { "a rectangle in millimetres", "<rect width='25.4mm' height='1in'/>", 96, 96, 9216, 0.01 },
    { "a circle", "<circle cx='9' cy='9' r='50'/>", 100, 100, G_PI * 2500, 2.2 },
    { "an ellipse", "<ellipse rx='50' ry='20'/>", 100, 40, G_PI * 1000, 1.7 },
    { "a polygon", "<polygon points='0,0 100,0 100,50 0,50'/>", 100, 50, 5000, 0.001 },
    { "a polyline that comes back", "<polyline points='0 0,100 0,100 50,0 50,0 0'/>", 100, 50,
      5000, 0.001 },
    { "a polyline that does not", "<polyline points='0 0,100 0,100 50,0 50'/>", 0, 0, 0, 0 },
    { "an odd number of numbers", "<polygon points='0 0,100 0,100'/>", 0, 0, 0, 0 },
    { "no size", "<rect width='0' height='50'/><circle r='-5'/>", 0, 0, 0, 0 },
    { "a share of an unknown size", "<rect width='100%' height='100%'/>", 0, 0, 0, 0 },

    { "translate", "<g transform='translate(30)'><rect width='100' height='50'/></g>", 100, 50,
      5000, 0.001 },
    { "scale", "<g transform='scale(2)'><rect width='100' height='50'/></g>", 200, 100, 20000,
      0.001 },
    { "scale, both ways", "<rect transform='scale(2,.5)' width='100' height='50'/>", 200, 25, 5000,
      0.001 },
    { "a mirror", "<rect transform='scale(-1 1)' width='100' height='50'/>", 100, 50, 5000, 0.001 },
    { "rotate", "<rect transform='rotate(90)' width='100' height='50'/>", 50, 100, 5000, 0.01 },
    { "rotate about a place", "<rect transform='rotate(45 7 9)' width='100' height='100'/>",
      141.421, 141.421, 10000, 0.3 },
    { "one turn after another", "<rect transform='rotate(30)rotate(60)' width='100' height='50'/>",
      50, 100, 5000, 0.1 },
    { "stretched, then turned", "<rect transform='rotate(90)scale(2,1)' width='100' height='50'/>",
      50, 200, 10000, 0.1 },
    { "turned, then stretched", "<rect transform='scale(2,1)rotate(90)' width='100' height='50'/>",
      100, 100, 10000, 0.1 },
    { "skewed, then turned", "<rect transform='rotate(90)skewX(45)' width='100' height='50'/>", 50,
      150, 5000, 0.1 },
    { "skewX", "<rect transform='skewX(45)' width='100' height='50'/>", 150, 50, 5000, 0.1 },
    { "skewY", "<rect transform='skewY(45)' width='100' height='50'/>", 100, 150, 5000, 0.1 },
    { "matrix", "<rect transform='matrix(0 1 -1 0 3 4)' width='100' height='50'/>", 50, 100, 5000,
      0.001 },
    { "a list runs from right to left",
      "<rect transform='scale(2) , translate(1e5)rotate(90)' width='100' height='50'/>", 100, 200,
      20000, 0.01 },
    { "groups in groups",
      "<g transform='scale(2)'><g transform='rotate(90)'><a><rect width='100' height='50' "
      "transform='scale(.5)'/></a></g></g>", 50, 100, 5000, 0.01 },
    { "a group's transform ends with it",
      "<g transform='scale(.1)'><rect width='9' height='9'/></g><rect width='100' height='50'/>",
      100, 50, 5000 - 0.81, 0.001 },
    { "curves are finer when enlarged", "<circle transform='scale(100)' r='5'/>", 1000, 1000,
      G_PI * 250000, 22 },
    { "an unknown transform", "<rect transform='twist(5)' width='100' height='50'/>", 0, 0, 0, 0 },
    { "too few numbers", "<rect transform='matrix(1 0 0 1)' width='100' height='50'/>", 0, 0, 0,
      0 },
    { "flattened to nothing", "<rect transform='scale(0)' width='100' height='50'/>", 0, 0, 0, 0 },

    { "an inner drawing",
      "<svg x='10' width='100' height='100' viewBox='0 0 10 5'><rect width='10' height='5'/></svg>",
      100, 50, 5000, 0.001 },
    { "an inner drawing stretched",
      "<svg width='100' height='100' viewBox='0 0 10 5' preserveAspectRatio='none'>"
      "<rect width='10' height='5'/></svg>", 100, 100, 10000, 0.001 },
    { "an inner drawing set low beside another shape",
      "<svg width='100' height='100' viewBox='0 0 10 5' preserveAspectRatio='xMidYMax meet'>"
      "<rect width='10' height='5'/></svg><path d='M0 0V100H1V0Z'/>", 100, 50, 5000, 0.001 },

    { "the largest of several", "<rect width='10' height='10'/><circle cx='99' r='50'/>", 100, 100,
      G_PI * 2500, 2.2 },
    { "a hole", "<rect width='100' height='50'/><rect x='40' y='20' width='20' height='10'/>", 100,
      50, 4800, 0.01 },
    { "a hole in one path", "<path d='M0 0H100V50H0ZM40 20V30H60V20Z'/>", 100, 50, 4800, 0.01 },
    { "what is drawn in a hole stays a hole",
      "<rect width='100' height='50'/><rect x='40' y='20' width='20' height='10'/>"
      "<rect x='45' y='22' width='5' height='5'/>", 100, 50, 4800, 0.01 },
    { "a line beside the edge is no hole",
      "<rect width='100' height='50'/><rect x='1' y='1' width='98' height='48'/>"
      "<rect width='100' height='50'/>", 100, 50, 5000, 0.01 },
    { "what sticks out is no hole",
      "<rect width='100' height='50'/><rect x='90' y='20' width='20' height='10'/>", 100, 50, 5000,
      0.01 },

    { "hidden things",
      "<rect width='10' height='10'/><g display='none'><rect width='100' height='50'/></g>"
      "<rect style='fill:red; display : none' width='100' height='50'/>", 10, 10, 100, 0.001 },
    { "things for later use",
      "<defs><rect width='100' height='50'/></defs><clipPath><rect width='100' height='50'/>"
      "</clipPath><mask><rect width='100' height='50'/></mask><symbol><g><rect width='100' "
      "height='50'/></g></symbol><pattern><rect width='100' height='50'/></pattern><marker>"
      "<rect width='100' height='50'/></marker><rect width='10' height='10'/>", 10, 10, 100,
      0.001 },
    { "a shape with a title", "<rect width='10' height='10'><title>lid</title></rect>", 10, 10, 100,
      0.001 },
    { "other names", "<i:pgf xmlns:i='x'><rect width='100' height='50'/></i:pgf><text>x</text>"
      "<svg:rect width='10' height='10'/>", 10, 10, 100, 0.001 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *svg = g_strdup_printf (SVG "%s</svg>", cases[i].drawn);
      assert_case (&cases[i], svg, 1);
    }
}

/* What is used, nested, hidden or a share of the drawing's size; SVG 1.1, 5.6 (use), 7.9 (a viewBox
 * fits its content into a size), 7.10 (percentages: of the width, the height, or the root of half
 * the sum of their squares), 11.5 (visibility is inherited, display is not undone within). */
static void
what_refers_nests_and_hides_is_followed (void **state)
{
#define IN "<svg viewBox='0 0 200 100'>"
#define HUGE_RECT "<rect width='190' height='90'/>"
  static const Case cases[] = {
    { "use", IN "<defs><rect id='a' width='100' height='50'/></defs><use href='#a'/></svg>", 100,
      50, 5000, 0.001 },
    { "use, before what it uses", IN "<use xmlns:xlink='x' xlink:href='#a'/><defs><g id='a'><rect "
      "width='100' height='50'/></g></defs></svg>", 100, 50, 5000, 0.001 },
    { "use, moved before its transform", IN "<rect id='a' width='10' height='10'/><path d='M0 0H100"
      "V50H0Z'/><use href='#a' x='10' transform='scale(.5)'/></svg>", 100, 50, 4900, 0.001 },
    { "use of a use", IN "<defs><rect id='a' width='10' height='5'/><use id='b' href='#a' "
      "transform='scale(5)'/></defs><use href='#b' transform='scale(2)'/></svg>", 100, 50, 5000,
      0.001 },
    { "a symbol by its size", IN "<symbol id='a' viewBox='0 0 10 5'><rect width='10' height='5'/>"
      "</symbol><use href='#a' width='100' height='50'/></svg>", 100, 50, 5000, 0.001 },
    { "a symbol without one fills the drawing", IN "<symbol id='a' viewBox='0 0 10 5'><rect "
      "width='10' height='5'/></symbol><use href='#a'/></svg>", 200, 100, 20000, 0.001 },
    { "a symbol not used", IN "<symbol>" HUGE_RECT "</symbol><rect width='9' height='9'/></svg>", 9,
      9, 81, 0.001 },
    { "an inner drawing used", IN "<defs><svg id='a' width='9' height='9' viewBox='0 0 1 1'><rect "
      "width='1' height='1'/></svg></defs><use href='#a' width='50' height='60'/></svg>", 50, 50,
      2500, 0.001 },

    { "percent of the width and the height", IN "<rect x='10%' width='50%' height='50%'/></svg>",
      100, 50, 5000, 0.001 },
    { "percent of both", "<svg viewBox='0 0 300 400'><circle r='10%'/></svg>", 70.711, 70.711,
      G_PI * 1250, 1.2 },
    { "percent of an ellipse", IN "<ellipse rx='25%' ry='10%'/></svg>", 100, 20, G_PI * 500, 1 },
    { "percent without a viewBox", "<svg width='200' height='1in'><rect width='50%' height='50%'/>"
      "</svg>", 100, 48, 4800, 0.001 },
    { "an inner drawing fills the outer", IN "<svg viewBox='0 0 10 5'><rect width='10' "
      "height='5'/></svg></svg>", 200, 100, 20000, 0.001 },
    { "an inner drawing's percent is of itself", IN "<svg width='50%' height='50%'><rect "
      "width='100%' height='100%'/></svg></svg>", 100, 50, 5000, 0.001 },
    { "of its viewBox", IN "<svg width='100' height='50' viewBox='0 0 10 5'><rect width='100%' "
      "height='100%'/></svg></svg>", 100, 50, 5000, 0.001 },
    { "quarter millimetres", "<svg><rect width='101.6Q' height='25.4mm'/></svg>", 96, 96, 9216,
      0.01 },
    { "a radius left to the other", IN "<rect width='100' height='50' rx='auto' ry='10'/></svg>",
      100, 50, 5000 - (4 - G_PI) * 100, 0.7 },

    { "hidden", IN "<g visibility='hidden'>" HUGE_RECT "<rect visibility='visible' width='9' "
      "height='9'/></g></svg>", 9, 9, 81, 0.001 },
    { "hidden by style", IN "<g style='Visibility : collapse'>" HUGE_RECT "</g><rect width='9' "
      "height='9'/></svg>", 9, 9, 81, 0.001 },
    { "the last word counts", IN "<g style='display:inline;display:none'>" HUGE_RECT "</g>"
      "<rect style='display:none;/* ; */display:inline' width='9' height='9'/></svg>", 9, 9, 81,
      0.001 },
    { "style before attribute", IN "<rect display='none' style='display:inline' width='9' "
      "height='9'/></svg>", 9, 9, 81, 0.001 },
    { "not displayed, not even what is visible in it", IN "<g display='none'><rect "
      "visibility='visible' display='inline' width='190' height='90'/></g><rect width='9' "
      "height='9'/></svg>", 9, 9, 81, 0.001 },
    { "hidden and used", IN "<g display='none'><rect id='a' width='9' height='9'/></g><use "
      "href='#a'/></svg>", 9, 9, 81, 0.001 },
    { "the first that will do", IN "<switch><g requiredExtensions='x'>" HUGE_RECT "</g><g><rect "
      "width='9' height='9'/></g><g>" HUGE_RECT "</g></switch></svg>", 9, 9, 81, 0.001 },
    { "a clip of none", IN "<rect clip-path='none' style='mask:none;transform:none' width='9' "
      "height='9'/></svg>", 9, 9, 81, 0.001 },
    { "a clip of what is not shown or not closed", IN "<g clip-path='url(#c)'><text>8</text><line "
      "x2='9'/><path d='M0 0H9V9'/><rect display='none' width='99' height='9'/></g><rect width='9' "
      "height='9'/></svg>", 9, 9, 81, 0.001 },
    { "a style sheet of colours", IN "<style>@font-face{font-family:x} .a{fill:none;stroke:#000;"
      "display:inline;stroke-width:.1}</style><rect class='a' width='9' height='9'/></svg>", 9, 9,
      81, 0.001 },
    { "an inner drawing that may be left", IN "<svg overflow='visible' width='5' height='5'><rect "
      "width='9' height='9'/></svg></svg>", 9, 9, 81, 0.001 },
    { "the drawing itself may be left", IN "<rect x='-5' width='300' height='9'/></svg>", 300, 9,
      2700, 0.001 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    assert_case (&cases[i], cases[i].drawn, 1);
#undef HUGE_RECT
}

/* What would change the outline and is not read is said, with its element, never passed over. */
static void
what_is_not_read_is_refused_by_name (void **state)
{
#define NINE " width='9' height='9'/>"
  static const struct
  {
    const char *drawn, *named, *also;
  } cases[] = {
    { "<rect clip-path='url(#c)'" NINE, "“rect”", "clip-path" },
    { "<g style='clip-path:url(#c)'><circle r='9'/></g>", "“g”", "clip-path" },
    { "<g mask='url(#m)'><circle r='9'/></g>", "“g”", "mask" },
    { "<g id='a' clip-path='url(#c)'><use href='#b'/></g><defs><rect id='b'" NINE "</defs>",
      "“g”", "clip-path" },
    { "<rect style='transform:rotate(45deg)'" NINE, "“rect”", "transform" },
    { "<g style='fill:red; Transform : scale(2)'><rect" NINE "</g>", "“g”", "transform" },
    { "<g style='rotate:45deg'><rect" NINE "</g>", "“g”", "rotate" },
    { "<rect transform='rotate(45)' transform-origin='5 5'" NINE, "“rect”", "transform-origin" },
    { "<rect transform='rotate(45)' style='transform-box:fill-box'" NINE, "“rect”",
      "transform-box" },
    { "<rect style='width:50px'" NINE, "“rect”", "width" },
    { "<path style='d:path(\"M0 0H9V9Z\")' d='M0 0H5V5Z'/>", "“path”", "“d”" },
    { "<style>.a { fill: red; display :none }</style><rect class='a'" NINE, "style", "display" },
    { "<style>@media all{.a{transform:scale(2)}}</style><rect class='a'" NINE, "style",
      "transform" },
    { "<defs><style><![CDATA[rect{visibility:hidden}]]></style></defs><rect" NINE, "style",
      "visibility" },
    { "<rect width='9em' height='9'/>", "“rect”", "9em" },
    { "<circle r='2vw'/>", "“circle”", "2vw" },
    { "<rect x='left'" NINE, "“rect”", "left" },
    { "<ellipse cx='1rem' rx='5' ry='5'/>", "“ellipse”", "1rem" },
    { "<svg width='9ex' height='9' viewBox='0 0 1 1'><rect" NINE "</svg>", "“svg”", "9ex" },
    { "<svg width='9' height='9' viewBox='0 0 1'><rect" NINE "</svg>", "“svg”", "viewBox" },
    { "<svg width='5' height='5'><rect" NINE "</svg>", "“rect”", "“svg”" },
    { "<symbol id='s' viewBox='0 0 5 5'><rect" NINE "</symbol><use href='#s' width='5' height='5'/>",
      "“rect”", "“symbol”" },
    { "<use href='other.svg#a'/>", "“use”", "other.svg" },
    { "<use href='#nothing'/>", "“use”", "nothing" },
    { "<use/>", "“use”", NULL },
    /* Two bytes a letter: cut short between letters. */
    { "<use href='#ääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääää'/>",
      "“use”", "ää" },
    { "<rect width='1ääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääääää'/>",
      "“rect”", "ää" },
    { "<use id='a' href='#a'/>", "“use”", "“#a”" },
    { "<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>", "“use”", "itself" },
    { "<symbol id='s' refX='5'><rect" NINE "</symbol><use href='#s'/>", "“symbol”", "refX" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *svg = g_strdup_printf (IN "%s</svg>", cases[i].drawn);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) outline = read_svg (svg, 1, &error);

      if (outline != NULL || !g_error_matches (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_READ))
        fail_msg ("%s: %s", cases[i].drawn, outline != NULL ? "taken" : error->message);
      if (strstr (error->message, cases[i].named) == NULL ||
          (cases[i].also != NULL && strstr (error->message, cases[i].also) == NULL) ||
          !g_str_has_suffix (error->message, ".") || !g_utf8_validate (error->message, -1, NULL))
        fail_msg ("%s: says only “%s”", cases[i].drawn, error->message);
    }
#undef IN
}

#define RECT "<rect width='100' height='50'/></svg>"

static void
the_size_comes_from_physical_units_and_a_view_box (void **state)
{
  static const Case cases[] = {
    { "millimetres", "<svg width='200mm' height='100mm' viewBox='0 0 100 50'>" RECT, 200, 100,
      20000, 0.001 },
    { "centimetres", "<svg width='20cm' height='10cm' viewBox='0 0 100 50'>" RECT, 200, 100, 20000,
      0.001 },
    { "inches", "<svg width='10in' height='5in' viewBox='0,0,100,50'>" RECT, 254, 127, 32258,
      0.001 },
    { "points", "<svg width='720pt' height='360pt' viewBox='0 0 100 50'>" RECT, 254, 127, 32258,
      0.001 },
    { "picas", "<svg width='60pc' height='30pc' viewBox='0 0 100 50'>" RECT, 254, 127, 32258,
      0.001 },
    { "the width alone", "<svg width='200mm' viewBox='0 0 100 50'>" RECT, 200, 100, 20000, 0.001 },
    { "the height alone", "<svg height='100mm' width='100%%' viewBox='0 0 100 50'>" RECT, 200, 100,
      20000, 0.001 },
    { "a view box of another shape fits in",
      "<svg width='200mm' height='400mm' viewBox='0 0 100 50'>" RECT, 200, 100, 20000, 0.001 },
    { "or covers", "<svg width='200mm' height='400mm' viewBox='0 0 100 50' "
      "preserveAspectRatio='xMinYMin slice'>" RECT, 800, 400, 320000, 0.001 },
    { "or is stretched", "<svg width='200mm' height='400mm' viewBox='0 0 100 50' "
      "preserveAspectRatio='none'>" RECT, 200, 400, 80000, 0.001 },
    { "a view box far away", "<svg width='200mm' height='100mm' viewBox='-500 1e6 100 50'>" RECT,
      200, 100, 20000, 0.001 },
    { "pixels are no size", "<svg width='200px' height='100px' viewBox='0 0 100 50'>" RECT, 0, 0, 0,
      0 },
    { "nor bare numbers", "<svg width='200' height='100' viewBox='0 0 100 50'>" RECT, 0, 0, 0, 0 },
    { "nor nothing", "<svg>" RECT, 0, 0, 0, 0 },
    { "nor millimetres without a view box", "<svg width='200mm' height='100mm'>" RECT, 0, 0, 0, 0 },
    { "nor an empty view box", "<svg width='200mm' viewBox='0 0 0 50'>" RECT, 0, 0, 0, 0 },
    { "nor a size below nothing", "<svg width='-200mm' viewBox='0 0 100 50'>" RECT, 0, 0, 0, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) outline = read_svg (cases[i].drawn, 0, &error);

      assert_case (&cases[i], cases[i].drawn, 0);
      if (outline == NULL)
        assert_true (g_error_matches (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NO_SIZE));
    }
  assert_null (read_svg ("<svg>" RECT, NAN, NULL));
  assert_null (read_svg ("<svg>" RECT, -1, NULL));
  assert_null (read_svg ("<svg>" RECT, INFINITY, NULL));
}

static void
what_is_no_drawing_is_refused_for_its_reason (void **state)
{
  static const struct
  {
    const char *svg;
    int code;
  } cases[] = {
    { "", RAKE_SVG_ERROR_NOT_SVG },
    { "hello", RAKE_SVG_ERROR_NOT_SVG },
    { "<html></html>", RAKE_SVG_ERROR_NOT_SVG },
    { "<svg>", RAKE_SVG_ERROR_NOT_SVG },
    { "<svg></g></svg>", RAKE_SVG_ERROR_NOT_SVG },
    { "<svg><path d='M0 0H9V9Z' </svg>", RAKE_SVG_ERROR_NOT_SVG },
    { "<svg>\xff\xfe</svg>", RAKE_SVG_ERROR_NOT_SVG },
    { "<svg><text>&unknown;</text></svg>", RAKE_SVG_ERROR_NOT_SVG },
    { "<!DOCTYPE svg [<!ENTITY a \"M0 0H9V9Z\">]><svg><path d='&a;'/></svg>",
      RAKE_SVG_ERROR_NOT_SVG },
    { "<!DOCTYPE svg [<!ENTITY a SYSTEM \"file:///etc/hostname\">]><svg>&a;</svg>",
      RAKE_SVG_ERROR_NOT_SVG },
    { "<svg></svg>", RAKE_SVG_ERROR_NO_AREA },
    { "<svg><path/><path d=''/><polygon/><circle/></svg>", RAKE_SVG_ERROR_NO_AREA },
    { "<svg><defs><rect id='a' width='9' height='9'/></defs></svg>", RAKE_SVG_ERROR_NO_AREA },
    { "<svg><path d='M0 0 5'/></svg>", RAKE_SVG_ERROR_PATH },
    { "<svg><g transform='rotate'/></svg>", RAKE_SVG_ERROR_PATH },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) outline = read_svg (cases[i].svg, 1, &error);

      if (outline != NULL || !g_error_matches (error, RAKE_SVG_ERROR, cases[i].code))
        fail_msg ("%s: %s", cases[i].svg, outline != NULL ? "taken" : error->message);
    }
}

static void
an_ordinary_head_is_no_obstacle (void **state)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = read_svg (
      "\xef\xbb\xbf<?xml version='1.0' encoding='UTF-8' standalone='no'?>\n<!-- drawn -->\n"
      "<!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' "
      "'http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd'>\n"
      "<svg:svg xmlns:svg='http://www.w3.org/2000/svg'><svg:style><![CDATA[a{}]]></svg:style>"
      "<svg:rect width='100' height='50'/></svg:svg>\n",
      1, &error);

  if (outline == NULL)
    fail_msg ("%s", error->message);
}

static char *
repeat (const char *head, const char *part, guint n, const char *tail)
{
  GString *text = g_string_new (head);

  for (guint i = 0; i < n; i++)
    g_string_append (text, part);
  return g_string_free (g_string_append (text, tail), FALSE);
}

static void
too_deep_too_many_and_too_large_are_refused_soon (void **state)
{
  g_autofree char *deep = repeat (SVG, "<g>", 200000, "");
  g_autofree char *many = repeat (SVG "<path d='M0 0", " 1 0 0 1", 150000, "z'/></svg>");
  /* Curves that cost much to follow and leave next to no points. */
  g_autofree char *costly = repeat (SVG "<path d='M0 0", "c9e4 0-9e4 0 0 0", 500000, "z'/></svg>");
  g_autofree char *large = repeat (SVG, "          ", 1700000, "</svg>");
  g_autofree char *rings =
      repeat (SVG "<path d='M0 0", "m1 0h.5v.5h-.5z", 1000, "M-1-1H50000V5H-1Z'/></svg>");
  g_autofree char *more_rings =
      repeat (SVG "<path d='M0 0", "m1 0h.5v.5h-.5z", 39000, "M-1-1H50000V5H-1Z'/></svg>");
  g_autofree char *elements = repeat (SVG, "<a/>", 300000, "</svg>");
  /* Ten of each of which there are ten of each of which … */
  g_autofree char *again = NULL;
  g_autoptr (GString) uses = g_string_new (SVG "<defs><rect id='u0' width='9' height='9'/>");

  for (int i = 1; i <= 9; i++)
    {
      g_autofree char *use = g_strdup_printf ("<use href='#u%d'/>", i - 1);
      g_autofree char *head = g_strdup_printf ("<g id='u%d'>", i);
      g_autofree char *group = repeat (head, use, 10, "</g>");
      g_string_append (uses, group);
    }
  again = g_strdup_printf ("%s</defs><use href='#u9'/></svg>", uses->str);
  const char *const refused[] = { deep, many, costly, large, more_rings, elements, again };

  for (gsize i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_autoptr (GError) error = NULL;
      gint64 start_us = g_get_monotonic_time ();

      assert_null (read_svg (refused[i], 1, &error));
      assert_non_null (error);
      /* Generous: for a slow machine under a checker; a hang is minutes. */
      if (g_get_monotonic_time () - start_us > 60 * G_USEC_PER_SEC)
        fail_msg ("case %zu took too long", i);
    }
  g_autoptr (RakeShape) outline = read_svg (rings, 1, NULL);
  assert_non_null (outline);
  assert_int_equal (rake_shape_get_n_rings (outline), 1001);
}

/* Any damage ends in a shape or in a sentence. */
static void
damaged_drawings_never_hurt (void **state)
{
  static const char whole[] =
      "<svg width='200mm' height='1e2mm' viewBox='0 0 100 50'><g transform='rotate(30,5 5) "
      "skewX(3)'><path d='M0 0C0 50 100 50 100 0S0-50 0 0ZM5 50a50 50 0 11100 0q1 2 3 4t5 6'/>"
      "<rect x='1' y='2mm' width='33' height='44' rx='5'/><polygon points='0,0 9,0 9 "
      "9'/></g><symbol id='s' viewBox='0 0 9 9'><circle r='10%' style='display:inline'/></symbol>"
      "<use href='#s' width='9%' height='9'/><svg x='1%'><use href='#s'/></svg></svg>";
  const char *given = g_getenv ("RAKE_TEST_SEED");
  guint32 seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);

  g_print ("seed %u\n", seed);
  for (guint i = 0; i < 20000; i++)
    {
      g_autofree char *damaged = g_memdup2 (whole, sizeof whole);
      gsize length = sizeof whole - 1;
      guint n_changes = (guint) g_rand_int_range (random, 1, 6);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) outline = NULL;

      for (guint k = 0; k < n_changes; k++)
        {
          gsize at = (gsize) g_rand_int_range (random, 0, (gint32) length);
          damaged[at] = whole[g_rand_int_range (random, 0, (gint32) length)];
        }
      if (g_rand_int_range (random, 0, 4) == 0)
        length = (gsize) g_rand_int_range (random, 0, (gint32) length);
      outline = rake_outline_new_from_svg (damaged, length, i % 2, &error);
      assert_true ((outline == NULL) == (error != NULL));
      if (error != NULL)
        assert_true (g_utf8_validate (error->message, -1, NULL));
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (path_data_mean_what_the_standard_says),
    cmocka_unit_test (shapes_and_transforms_are_drawn_where_they_stand),
    cmocka_unit_test (what_refers_nests_and_hides_is_followed),
    cmocka_unit_test (what_is_not_read_is_refused_by_name),
    cmocka_unit_test (the_size_comes_from_physical_units_and_a_view_box),
    cmocka_unit_test (what_is_no_drawing_is_refused_for_its_reason),
    cmocka_unit_test (an_ordinary_head_is_no_obstacle),
    cmocka_unit_test (too_deep_too_many_and_too_large_are_refused_soon),
    cmocka_unit_test (damaged_drawings_never_hurt),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
