using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FsCheck;
using FsCheck.Fluent;

namespace FlickerProbe.Tests.Properties;

/// <summary>Inputs that the laws are tried on, within what cameras and lights can be.</summary>
internal static class Inventions
{
    private static readonly TransferFunction[] Curves =
        [TransferFunction.Bt709, TransferFunction.Srgb, TransferFunction.Gamma22, TransferFunction.Gamma24, TransferFunction.Gamma28, TransferFunction.Hlg, TransferFunction.Pq, TransferFunction.Linear];

    /// <summary>A number between two ends, in a thousand even steps.</summary>
    public static Gen<double> Between(double low, double high) => Gen.Choose(0, 1000).Select(n => low + (high - low) * n / 1000);

    /// <summary>Usual rates and odd ones.</summary>
    public static Gen<FrameRate> AnyRate { get; } = Gen.OneOf(
        Gen.Elements("24000/1001", "24", "25", "30000/1001", "30", "50", "60000/1001", "60", "120000/1001", "120", "240").Select(FrameRate.Parse),
        from above in Gen.Choose(1001, 400_000)
        from below in Gen.Choose(1, 1001)
        where above / (double)below is > 1 and < 100_000
        select FrameRate.FromRational(above, below));

    public static Arbitrary<FrameRate> Rates() => AnyRate.ToArbitrary();

    public static Arbitrary<Scene> Scenes() => Scene.Any.ToArbitrary();

    public static Arbitrary<FineScene> FineScenes() => Scene.Fine.Select(scene => new FineScene(scene)).ToArbitrary();

    public static Arbitrary<TransferFunction> AllCurves() => Gen.Elements(Curves).ToArbitrary();

    public static Arbitrary<SignalScale> Scales() => (
        from range in Gen.Elements(SignalRange.Limited, SignalRange.Full)
        from depth in Gen.Choose(8, 16)
        select new SignalScale(range, depth)).ToArbitrary();

    public static Arbitrary<Orientation> Orientations() => Gen.Choose(1, 8).Select(Orientation.FromExif).ToArbitrary();

    public static Arbitrary<Cosine[]> Waves() => (
        from count in Gen.Choose(1, 6)
        from amplitudes in Between(-0.5, 0.5).ArrayOf(count)
        from phases in Between(-Math.PI, Math.PI).ArrayOf(count)
        select amplitudes.Select((a, n) => new Cosine(n + 1, a / (n + 1), phases[n])).ToArray()).ToArbitrary();
}
