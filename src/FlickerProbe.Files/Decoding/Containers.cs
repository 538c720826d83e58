namespace FlickerProbe.Files.Decoding;

/// <summary>The containers that are opened. All hold their own pictures; none may follow a reference to another file or to the network.</summary>
/// <remarks>Left out on purpose: concat, hls, dash, imf, sdp, rtsp, image sequences, capture devices and generators.</remarks>
internal static class Containers
{
    /// <summary>The list as ffmpeg's option format_whitelist takes it: any one alias of a demuxer is enough.</summary>
    public static string Whitelist { get; } = string.Join(',', Names);

    private static IEnumerable<string> Names =>
    [
        "mov", "mp4", "matroska", "webm", "avi", "asf", "flv", "live_flv", "mpegts", "mpeg", "mpegvideo", "mxf", "mxf_opatom", "gxf", "lxf", "ogg", "nut", "nuv", "wtv",
        "rm", "dv", "ivf", "obu", "av1", "h264", "hevc", "vvc", "evc", "h263", "h261", "m4v", "mjpeg", "mjpeg_2000", "vc1", "vc1test", "dnxhd", "dirac", "cavsvideo", "avs2", "avs3",
        "yuv4mpegpipe", "gif", "apng", "swf", "r3d", "cine", "mlv", "ser", "pva", "vob", "dhav", "kux", "mpjpeg", "smjpeg", "roq", "smk", "bink", "film_cpk", "flic", "nsv", "filmstrip",
        "png_pipe", "jpeg_pipe", "bmp_pipe", "tiff_pipe", "webp_pipe", "dpx_pipe", "exr_pipe", "j2k_pipe", "jpegxl_pipe", "jpegls_pipe", "ppm_pipe", "pgm_pipe", "pbm_pipe", "pam_pipe", "qoi_pipe", "sgi_pipe", "sunrast_pipe", "gif_pipe", "psd_pipe",
    ];
}
