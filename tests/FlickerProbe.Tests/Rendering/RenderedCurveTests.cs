using System.Globalization;
using FlickerProbe.Rendering.Camera;
using Xunit;

namespace FlickerProbe.Tests.Rendering;

/// <summary>The renderer's curves against values recomputed from the documents: ITU-R BT.709-6, IEC 61966-2-1, ITU-R BT.2100-2, SMPTE ST 2084.</summary>
public class RenderedCurveTests
{
    [Theory]
    [InlineData(.001, .004500, .012920, .054772)]
    [InlineData(.01, .045000, .099853, .173205)]
    [InlineData(.018, .081248, .142826, .232379)]
    [InlineData(.18, .409008, .461356, .672358)]
    [InlineData(.50, .705515, .735357, .871643)]
    [InlineData(.90, .949110, .954687, .980675)]
    public void Light_to_signal(double light, double bt709, double srgb, double hlg)
    {
        Assert.Equal(bt709, TransferCurve.Bt709.Encode(light), 6e-7);
        Assert.Equal(srgb, new TransferCurve { Kind = CurveKind.Srgb }.Encode(light), 6e-7);
        Assert.Equal(hlg, new TransferCurve { Kind = CurveKind.Hlg }.Encode(light), 6e-7);
    }

    [Theory]
    [InlineData(.25, .078154, .050876, .020833, 5.1542)]
    [InlineData(.50, .259589, .214041, .083333, 92.2457)]
    [InlineData(.75, .563522, .522522, .264963, 983.378)]
    [InlineData(1, 1, 1, 1, 10000)]
    public void Signal_to_light(double signal, double bt709, double srgb, double hlg, double pq)
    {
        Assert.Equal(bt709, TransferCurve.Bt709.Decode(signal), 6e-7);
        Assert.Equal(srgb, new TransferCurve { Kind = CurveKind.Srgb }.Decode(signal), 6e-7);
        Assert.Equal(hlg, new TransferCurve { Kind = CurveKind.Hlg }.Decode(signal), 6e-7);
        Assert.Equal(1, new TransferCurve { Kind = CurveKind.Pq }.Decode(signal) * 10_000 / pq, 1e-5);
    }

    [Theory]
    [InlineData(1, .149946)]
    [InlineData(100, .508078)]
    [InlineData(203, .580689)]
    [InlineData(1000, .751827)]
    public void Pq_signal_of_a_luminance(double candelasPerSquareMetre, double signal) =>
        Assert.Equal(signal, new TransferCurve { Kind = CurveKind.Pq }.Encode(candelasPerSquareMetre / 10_000), 6e-7);

    [Fact]
    public void Every_curve_undoes_itself()
    {
        IEnumerable<TransferCurve> curves = Enum.GetValues<CurveKind>().Where(k => k != CurveKind.Table)
            .Select(k => new TransferCurve { Kind = k }).Append(TransferCurve.InventedLog());
        foreach (TransferCurve curve in curves)
        {
            for (double light = 0.001; light < 1; light += 0.0137)
            {
                // The three-decimal constants of BT.709 leave a step of 0.3 % at the break.
                double tolerance = curve.Kind == CurveKind.Bt709 && Math.Abs(light - 0.018) < 1e-3 ? 1e-4 : 1e-9;
                Assert.True(Math.Abs(curve.Decode(curve.Encode(light)) - light) < tolerance, $"{curve.Kind} at {light}");
            }
        }
    }

    [Fact]
    public void A_cube_file_holds_the_light_of_each_signal()
    {
        string path = Path.Combine(Path.GetTempPath(), $"{Guid.NewGuid():N}.cube");
        try
        {
            TransferCurve log = TransferCurve.InventedLog();
            log.WriteCube(path, 256);
            string[] rows = [.. File.ReadLines(path).Where(l => l.Length > 0 && char.IsDigit(l[0]))];
            Assert.Equal(256, rows.Length);
            Assert.Contains("LUT_1D_SIZE 256", File.ReadLines(path));
            double light = double.Parse(rows[128].Split(' ')[0], CultureInfo.InvariantCulture);
            Assert.Equal(log.Decode(128 / 255.0), light, 1e-9);
        }
        finally
        {
            File.Delete(path);
        }
    }
}
