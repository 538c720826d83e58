using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Light over its line's own time mean, less one, written out from the traces cell by cell.</summary>
public class LightMatrixTests
{
    private const int Frames = 14, Strips = 3;

    private static SampledTake Take(int rows, int firstRow, FieldOrder fields, int[] kept, bool reference)
    {
        var normal = new NormalNoise(2);
        float[][] strips = [.. Enumerable.Range(0, Strips).Select(s => Enumerable.Range(0, kept.Length * rows).Select(i => (float)(0.3 + 0.1 * s + 0.02 * normal.Next())).ToArray())];
        float[][]? other = reference ? [.. Enumerable.Range(0, Strips).Select(s => Enumerable.Range(0, rows).Select(r => 0.05f + 0.001f * r + 0.01f * s).ToArray())] : null;
        return new SampledTake(new RowTraces(strips, kept.Length, rows, firstRow, 64), new FrameTimes([.. kept.Select(n => n / 25.0)], 1e-6), FrameRate.Parse("25"), false,
            null, null, fields, new SignalLevel(0.6, 0.7, 0, 0), new RecordingTraits(0.2, 1.4, 8, 0.017, "ffv1", true), other);
    }

    public static TheoryData<int, int, FieldOrder, bool, bool> Shapes => new()
    {
        { 9, 0, FieldOrder.Progressive, false, false },
        { 9, 3, FieldOrder.Progressive, true, true },
        { 10, 0, FieldOrder.TopFieldFirst, false, false },
        { 10, 5, FieldOrder.TopFieldFirst, true, true },
        { 10, 0, FieldOrder.BottomFieldFirst, true, false },
        { 11, 5, FieldOrder.BottomFieldFirst, false, true }, // odd: the last row has no partner and is left out
    };

    [Theory]
    [MemberData(nameof(Shapes))]
    public void Every_cell_is_light_over_its_lines_mean(int rows, int firstRow, FieldOrder fields, bool gaps, bool reference)
    {
        int[] kept = [.. Enumerable.Range(0, Frames).Where(n => !gaps || n is not (4 or 5 or 9))];
        SampledTake take = Take(rows, firstRow, fields, kept, reference);
        LightMatrix matrix = LightMatrix.Build(take, SensorClock.Recover(take.Times, kept.Length, take.Rate, false, []));
        int parities = fields == FieldOrder.Progressive ? 1 : 2;

        Assert.Equal((Frames * parities, rows / parities, 25.0 * parities, 64.0 / parities), (matrix.Ticks, matrix.Lines, matrix.TickHz, matrix.LinesPerHeight));
        Assert.Equal(kept.Length * parities, matrix.Count);
        double Light(int frame, int strip, int row) => take.Traces.Strip(strip)[Array.IndexOf(kept, frame) * rows + row] - (take.Reference?[strip][row] ?? 0);
        double Mean(int frame, int row) => Enumerable.Range(0, Strips).Average(s => Light(frame, s, row));
        for (int tick = 0; tick < matrix.Ticks; tick++)
        {
            int frame = tick / parities;
            Assert.Equal(kept.Contains(frame), matrix.Present[tick]);
            for (int line = 0; line < matrix.Lines; line++)
            {
                if (!matrix.Present[tick])
                {
                    Assert.Equal(0, matrix.Relative[tick * matrix.Lines + line]);
                    continue;
                }
                int row = Row(tick, line);
                Assert.Equal(Mean(frame, row) / kept.Average(n => Mean(n, row)) - 1, matrix.Relative[tick * matrix.Lines + line], 2e-6);
                for (int s = 0; s < Strips; s++)
                    Assert.Equal(Light(frame, s, row) / kept.Average(n => Light(n, s, row)) - 1, StripAt(matrix, s, tick, line), 2e-6);
            }
        }

        // The field with the even coded rows is the first of a frame when the top field leads, the second otherwise.
        int Row(int tick, int line)
        {
            if (parities == 1) return line;
            int codedParity = (fields == FieldOrder.TopFieldFirst ? tick : tick + 1) % 2;
            return 2 * line + (codedParity + firstRow) % 2;
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(5)]
    public void The_offset_between_fields_is_half_a_line_downwards(int firstRow)
    {
        int[] kept = [.. Enumerable.Range(0, Frames)];
        SampledTake take = Take(10, firstRow, FieldOrder.TopFieldFirst, kept, false);
        LightMatrix matrix = LightMatrix.Build(take, SensorClock.Recover(take.Times, Frames, take.Rate, false, []));
        // Within the region: tick 0 holds even coded rows, tick 1 odd ones.
        int firstOfEven = firstRow % 2, firstOfOdd = 1 - firstRow % 2;
        Assert.Equal((firstOfOdd - firstOfEven) / 2.0, matrix.LineOffset(1) - matrix.LineOffset(0));
    }

    [Theory]
    [InlineData(FieldOrder.Progressive, 0)]
    [InlineData(FieldOrder.TopFieldFirst, 0)]
    [InlineData(FieldOrder.BottomFieldFirst, 3)]
    public void A_wave_wrapped_is_the_same_wave_on_every_line_of_every_tick(FieldOrder fields, int firstRow)
    {
        LightMatrix matrix = Planes.Of(8, 12, (_, _) => 1, fields: fields, firstRow: firstRow);
        foreach ((double x, double nu) in new[] { (0.1, 0.2), (0.3, 0.7), (-0.4, -1.3), (1.2, 2.6), (0.45, -0.6) })
        {
            (double wrappedX, double wrappedNu) = matrix.Wrapped(x, nu);
            Assert.True(Math.Abs(wrappedX) <= 0.5 && Math.Abs(wrappedNu) <= 0.5);
            // Up to where it starts: the very first line.
            double At(double x, double nu, int tick, int line) => x * tick + nu * (line + matrix.LineOffset(tick) - matrix.LineOffset(0));
            for (int n = 0; n < matrix.Ticks; n++)
                for (int r = 0; r < matrix.Lines; r++) Assert.Equal(0, Math.IEEERemainder(At(x, nu, n, r) - At(wrappedX, wrappedNu, n, r), 1), 1e-9);
        }
    }

    [Fact]
    public void A_level_divided_out_is_gone_and_remembered()
    {
        LightMatrix matrix = Planes.Of(40, 12, (n, r) => (1 + 0.1 * n / 40) * (1 + 0.05 * r) * (1 + 0.02 * Math.Cos(n + 0.3 * r)), [7], strips: 2);
        double[] level = [.. Enumerable.Range(0, 40).Select(n => (1 + 0.1 * n / 40) / 1.05 - 1)];
        matrix.RemoveLevel(level);

        int[] present = [.. Enumerable.Range(0, 40).Where(n => n != 7)];
        for (int r = 0; r < 12; r++)
        {
            double mean = present.Average(n => 1 + 0.02 * Math.Cos(n + 0.3 * r));
            foreach (int n in present) Assert.Equal((1 + 0.02 * Math.Cos(n + 0.3 * r)) / mean - 1, matrix.Relative[n * 12 + r], 1e-6);
            foreach (int n in present) Assert.Equal((1 + 0.02 * Math.Cos(n + 0.3 * r)) / mean - 1, StripAt(matrix, 1, n, r), 1e-6);
        }
        for (int n = 0; n < 40; n++) Assert.Equal(level[n], matrix.RemovedLevel[n], 1e-12);
    }

    [Fact]
    public void A_black_line_stays_silent()
    {
        LightMatrix matrix = Planes.Of(20, 6, (n, r) => r == 2 ? 0.00001 * (n % 2) : (1 + 0.1 * (n % 2)) * (1 + 0.02 * n));
        AssertSilent();
        // Also when a level that it has no part in is divided out.
        matrix.RemoveLevel([.. Enumerable.Range(0, 20).Select(n => 0.02 * n)]);
        AssertSilent();

        void AssertSilent()
        {
            for (int n = 0; n < 20; n++)
            {
                Assert.Equal(0, matrix.Relative[n * 6 + 2]);
                Assert.Equal(0, StripAt(matrix, 0, n, 2));
                Assert.NotEqual(0, matrix.Relative[n * 6 + 3]);
            }
        }
    }

    private static float StripAt(LightMatrix matrix, int strip, int tick, int line)
    {
        float[] light = new float[matrix.Lines];
        matrix.StripRelative(strip, tick, light);
        return light[line];
    }
}
