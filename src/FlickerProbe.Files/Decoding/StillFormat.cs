namespace FlickerProbe.Files.Decoding;

/// <summary>Tells still pictures by their first bytes, so that neither the file's ending nor a % in its name decides how it is opened.</summary>
internal static class StillFormat
{
    /// <summary>Name of ffmpeg's single-picture demuxer; null when the file is none of the known still formats.</summary>
    public static string? DemuxerOf(ReadOnlySpan<byte> head) =>
        head.StartsWith((ReadOnlySpan<byte>)[0x89, (byte)'P', (byte)'N', (byte)'G']) ? "png_pipe" :
        head.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xD8, 0xFF]) ? "jpeg_pipe" :
        head.StartsWith("BM"u8) ? "bmp_pipe" :
        head.StartsWith("II*\0"u8) || head.StartsWith("MM\0*"u8) ? "tiff_pipe" :
        head.Length >= 12 && head.StartsWith("RIFF"u8) && head[8..].StartsWith("WEBP"u8) ? "webp_pipe" :
        head.StartsWith("SDPX"u8) || head.StartsWith("XPDS"u8) ? "dpx_pipe" :
        head.StartsWith((ReadOnlySpan<byte>)[0x76, 0x2F, 0x31, 0x01]) ? "exr_pipe" :
        null;
}
