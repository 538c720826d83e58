namespace FlickerProbe.Files.Auditions;

/// <summary>The words of the audition file, in the order in which they are explained to people. Reader, writer and schema agree on these.</summary>
public static class AuditionKeys
{
    /// <summary>Keys of the file's top.</summary>
    public static readonly string[] Top = ["schema", "title", "mains", "tested-by", "tested-on", "policy", "notes", "formats", "cameras", "fixtures"];

    /// <summary>Keys of a format.</summary>
    public static readonly string[] Format = ["camera", "frame-rate", "shutter", "readout"];

    /// <summary>Keys of a camera.</summary>
    public static readonly string[] Camera = ["readout", "transfer", "notes"];

    /// <summary>Keys of a fixture; anything else for the decision stands under <c>more</c>.</summary>
    public static readonly string[] Fixture = ["name", "price", "mode", "firmware", "notes", "more", "levels-used", "takes"];

    /// <summary>Keys of a take.</summary>
    public static readonly string[] Take =
        ["clip", "camera", "frame-rate", "shutter", "dimmer", "sweep", "stretches", "region", "reference", "purpose", "notes"];
}
