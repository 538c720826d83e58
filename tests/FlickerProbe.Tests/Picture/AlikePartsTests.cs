using FlickerProbe.Picture;

namespace FlickerProbe.Tests.Picture;

/// <summary>Parts of an area told by maps that are filled in by hand: 20 × 12 cells.</summary>
public class AlikePartsTests
{
    private const int Columns = 20, Rows = 12;
    private static readonly CellRect Area = new(2, 1, 16, 10);

    private static ToneMap Map(Func<int, int, double> amplitude) => new(
        Columns, Rows, [.. Enumerable.Range(0, Columns * Rows).Select(cell => (float)amplitude(cell % Columns, cell / Columns))], new float[Columns * Rows]);

    [Fact]
    public void One_lamp_alone_is_one_part() => Assert.Empty(AlikeParts.Of(Area, [Map((_, _) => 0.1)]));

    [Fact]
    public void Two_lamps_side_by_side_are_two_parts_the_stronger_first()
    {
        ToneMap left = Map((x, _) => x < 8 ? 0.05 : double.NaN), right = Map((x, _) => x >= 8 ? 0.2 : double.NaN);
        Assert.Equal([new CellRect(8, 1, 10, 10), new CellRect(2, 1, 6, 10)], AlikeParts.Of(Area, [left, right]));
    }

    [Fact]
    public void A_lamp_beside_steady_light_is_told_from_it() =>
        Assert.Equal([new CellRect(2, 1, 9, 10), new CellRect(11, 1, 7, 10)], AlikeParts.Of(Area, [Map((x, _) => x < 11 ? 0.1 : double.NaN)]));

    // Light that mixes: the line is where half of it is left.
    [Fact]
    public void A_soft_edge_is_drawn_where_half_is_left() =>
        Assert.Equal([new CellRect(2, 1, 7, 10), new CellRect(9, 1, 9, 10)], AlikeParts.Of(Area, [Map((x, _) => 0.2 * Math.Clamp(1 - (x - 2) / 13.0, 0, 1))]));

    [Theory]
    [InlineData(0.015)] // too faint for a single cell
    [InlineData(0.0)]
    public void A_faint_tone_divides_nothing(double amplitude) => Assert.Empty(AlikeParts.Of(Area, [Map((x, _) => x < 8 ? amplitude : double.NaN)]));

    [Fact]
    public void A_few_odd_cells_divide_nothing() => Assert.Empty(AlikeParts.Of(Area, [Map((x, y) => x < 4 && y < 5 ? double.NaN : 0.1)]));

    [Fact]
    public void What_lies_outside_the_area_does_not_count() => Assert.Empty(AlikeParts.Of(Area, [Map((x, _) => x is < 2 or >= 18 ? 0.9 : 0.1)]));
}
