using System.Globalization;
using System.Text.RegularExpressions;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Tests.Decoding;
using FlickerProbe.Tests.Measurement;

namespace FlickerProbe.Tests.Pipeline;

/// <summary>Bands that an encoder starved of bits leaves out whole: what the take rules out lies over them.</summary>
/// <remarks>Codes are written down here and encoded by ffmpeg alone; what light they stand for is worked out from Recommendation ITU-R BT.709-6, item 1.2.</remarks>
public sealed class StarvedRecordingTests : IDisposable
{
    private const int Width = 640, Height = 360, Frames = 90, Middle = 128;
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    [Theory]
    [InlineData("libx264", "45", "medium", 2, 6, 60, 0.035)] // 11 % vanish whole
    [InlineData("libx264", "45", "ultrafast", 1, 1.6, 150, 0.258)]
    [InlineData("libx264", "49", "ultrafast", 1, 3.5, 300, 0.018)]
    [InlineData("libx265", "46", "ultrafast", 0.6, 3, 60, 0.332)]
    public void What_may_have_vanished_whole_is_not_ruled_out(string codec, string strength, string preset, double noiseCodes, double amplitudeCodes, double rowsPerBand, double cyclesPerFrame)
    {
        TakeMeasurement take = Measured(Codes(noiseCodes, amplitudeCodes, rowsPerBand, cyclesPerFrame), codec, strength, preset);

        double brightest = Light(Middle + amplitudeCodes), darkest = Light(Middle - amplitudeCodes), depth = (brightest - darkest) / (brightest + darkest);
        Assert.True(take.ModulationDepth!.Value.Low < 0.3 * depth, $"{take.ModulationDepth}: the encoder was to hide a depth of {depth}");
        Assert.True(take.ModulationDepth!.Value.High >= depth, $"{take.ModulationDepth} of {depth}");
        Assert.InRange(take.DetectionLimit, depth, 1);
        Assert.Contains(take.Findings, f => f.Code == FindingCodes.CrushedRecording);
    }

    [Theory]
    [InlineData(2, 6, 60, 0.035, 0.1, 0.5)] // hidden whole: as much as vanishes
    [InlineData(2, 40, 120, 0.27, 0.005, 0.05)] // plain: no more than the steps that it is coded in
    public void What_is_said_to_be_thrown_away_goes_by_what_is_seen(double noiseCodes, double amplitudeCodes, double rowsPerBand, double cyclesPerFrame, double least, double most)
    {
        TakeMeasurement take = Measured(Codes(noiseCodes, amplitudeCodes, rowsPerBand, cyclesPerFrame), "libx264", "49", "medium");
        Finding crushed = Assert.Single(take.Findings, f => f.Code == FindingCodes.CrushedRecording);
        double said = 0.01 * double.Parse(Regex.Match(crushed.Message, @"flicker under ([\d.]+)").Groups[1].Value, CultureInfo.InvariantCulture);

        Assert.InRange(said, least, most);
        Assert.True(said <= take.DetectionLimit + 0.0005, $"{said:P1} may have vanished, and {take.DetectionLimit:P1} is ruled out");
    }

    private TakeMeasurement Measured(byte[] codes, string codec, string strength, string preset)
    {
        string clip = _media.Encoded(
            "starved.mkv", "yuv420p", Width, Height, codes, "-c:v", codec, "-crf", strength, "-preset", preset,
            "-color_range", "tv", "-colorspace", "bt709", "-color_trc", "bt709", "-color_primaries", "bt709");
        var request = new TakeRequest
        {
            Clip = clip, Regions = [new Region(0, 0, Width, Height)], Readout = FlickerProbe.Camera.ReadoutTime.FromSeconds(0.016), Shutter = GivenShutter.Parse("1/1000"), Colour = ColourMode.Off,
        };
        return Assert.Single(new TakeMeasurer(new CameraStore(_media.Folder)).Measure(request, null, CancellationToken.None)).Measurement;
    }

    private static byte[] Codes(double noiseCodes, double amplitudeCodes, double rowsPerBand, double cyclesPerFrame)
    {
        var normal = new NormalNoise(3);
        // Drawn once, and each row begins somewhere else in it.
        double[] noise = [.. Enumerable.Range(0, 99_991).Select(_ => noiseCodes * normal.Next())];
        const int picture = Width * Height * 3 / 2;
        byte[] codes = new byte[picture * Frames];
        Array.Fill(codes, (byte)128);
        long at = 0;
        for (int frame = 0; frame < Frames; frame++)
        {
            for (int row = 0; row < Height; row++)
            {
                double level = Middle + amplitudeCodes * Math.Cos(2 * Math.PI * (cyclesPerFrame * frame + row / rowsPerBand));
                for (int column = 0; column < Width; column++) codes[frame * picture + row * Width + column] = (byte)Math.Round(level + noise[at++ % noise.Length]);
            }
        }
        return codes;
    }

    // BT.709-6, item 1.2, solved for the light; codes by item 4.6 at 8 bits.
    private static double Light(double code) => Math.Pow(((code - 16) / 219 + 0.099) / 1.099, 1 / 0.45);
}
