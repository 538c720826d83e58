using FlickerProbe.Light;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Light;

public class TableCurveTests
{
    [Fact]
    public void A_table_of_a_known_curve_gives_that_curve()
    {
        const int size = 4096;
        string rows = string.Join('\n', Enumerable.Range(0, size).Select(n =>
            FormattableString.Invariant($"{TransferFunction.Srgb.ToLinear(n / (size - 1.0)):R} {TransferFunction.Srgb.ToLinear(n / (size - 1.0)):R} {TransferFunction.Srgb.ToLinear(n / (size - 1.0)):R}")));
        TableCurve curve = TableCurve.Parse($"# made from a formula\r\nTITLE \"test\"\nLUT_1D_SIZE {size}\nDOMAIN_MIN 0 0 0\nDOMAIN_MAX 1 1 1\n\n{rows}\n", "test.cube");
        for (double level = 0; level <= 1; level += 0.0123) Assert.Equal(TransferFunction.Srgb.ToLinear(level), curve.ToLinear(level), 1e-7);
    }

    [Fact]
    public void Entries_are_joined_by_straight_lines_that_go_on_outside()
    {
        TableCurve curve = TableCurve.Parse("LUT_1D_SIZE 3\nLUT_1D_INPUT_RANGE 0.0 2.0\n0 0 0\n1 1 1\n4 4 4\n", "bend.cube");
        Assert.Equal(0.5, curve.ToLinear(0.5));
        Assert.Equal(2.5, curve.ToLinear(1.5));
        Assert.Equal(5.5, curve.ToLinear(2.5));
        Assert.Equal(-0.25, curve.ToLinear(-0.25));
        Assert.Equal("bend.cube", curve.Name);
    }

    [Theory]
    [InlineData("LUT_3D_SIZE 17\n", "Line 1 of 'x.cube' is a three-dimensional table; a transfer curve is one-dimensional (LUT_1D_SIZE).")]
    [InlineData("# c\n0 0 0\n", "Line 2 of 'x.cube' comes before LUT_1D_SIZE, which must be there first.")]
    [InlineData("LUT_1D_SIZE 1\n", "Line 1 of 'x.cube' should say LUT_1D_SIZE once, with a whole number from 2 to 65536.")]
    [InlineData("LUT_1D_SIZE 2\n0 0 0\n0,5 0,5 0,5\n", "Line 3 of 'x.cube' should hold three numbers with decimal points.")]
    [InlineData("LUT_1D_SIZE 2\n0 0\n", "Line 2 of 'x.cube' should hold three numbers with decimal points.")]
    [InlineData("LUT_1D_SIZE 2\n0 0 nan\n", "Line 2 of 'x.cube' should hold three numbers with decimal points.")]
    [InlineData("LUT_1D_SIZE 2\n0 0 0\n1 1 0.9\n", "Line 3 of 'x.cube' has three different numbers; give the same transfer curve for red, green and blue.")]
    [InlineData("LUT_1D_SIZE 3\n0 0 0\n1 1 1\n0.5 0.5 0.5\n", "Line 4 of 'x.cube' is lower than the entry before; a transfer curve never falls.")]
    [InlineData("LUT_1D_SIZE 2\n0 0 0\n1 1 1\n2 2 2\n", "Line 4 of 'x.cube' is one entry more than the 2 that LUT_1D_SIZE announces.")]
    [InlineData("LUT_1D_SIZE 3\n0 0 0\n1 1 1", "Line 3 of 'x.cube' ends the file after 2 entries; LUT_1D_SIZE announces 3.")]
    [InlineData("LUT_1D_SIZE 2\n1 1 1\n1 1 1", "Line 3 of 'x.cube' ends a table that is flat from end to end.")]
    [InlineData("", "Line 1 of 'x.cube' ends a file without LUT_1D_SIZE, so this is no one-dimensional .cube table.")]
    public void A_wrong_table_is_refused_with_its_line(string text, string message) =>
        Assert.Equal(message, Assert.Throws<InputException>(() => TableCurve.Parse(text, "x.cube")).Message);
}
