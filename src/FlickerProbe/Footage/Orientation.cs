namespace FlickerProbe.Footage;

/// <summary>How the coded picture is turned to be displayed: by right angles, perhaps mirrored.</summary>
/// <remarks>
/// A coded pixel (x, y) lands on displayed (XFromX·x + XFromY·y, YFromX·x + YFromY·y), shifted so that the picture starts at 0; y grows
/// downwards. Each number is −1, 0 or 1. <see cref="Upright"/> is the plain picture. The default value is no orientation: use the named ones.
/// Rows of the coded picture are rows of the sensor, so a region given as displayed has to be taken back.
/// </remarks>
public readonly record struct Orientation(int XFromX, int XFromY, int YFromX, int YFromY)
{
    /// <summary>Displayed as coded.</summary>
    public static Orientation Upright { get; } = new(1, 0, 0, 1);

    /// <summary>Whether displayed columns are coded rows.</summary>
    public bool SwapsAxes => XFromX == 0;

    /// <summary>Whether left and right are exchanged on top of the turn.</summary>
    public bool Mirrored => XFromX * YFromY - XFromY * YFromX < 0;

    /// <summary>Clockwise turn from coded to displayed, after any mirroring of left and right: 0, 90, 180 or 270 degrees.</summary>
    public int RotationDegrees
    {
        get
        {
            int sign = Mirrored ? -1 : 1;
            return (sign * XFromX, sign * YFromX) switch { (1, 0) => 0, (0, 1) => 90, (-1, 0) => 180, _ => 270 };
        }
    }

    /// <summary>From the first two rows and columns of a container's display matrix, any scale; angles between are taken to the nearest right one.</summary>
    /// <param name="a">Displayed x per coded x.</param>
    /// <param name="b">Displayed y per coded x.</param>
    /// <param name="c">Displayed x per coded y.</param>
    /// <param name="d">Displayed y per coded y.</param>
    public static Orientation FromMatrix(double a, double b, double c, double d)
    {
        if (Math.Abs(a) + Math.Abs(d) >= Math.Abs(b) + Math.Abs(c))
            return a == 0 || d == 0 ? Upright : new Orientation(Math.Sign(a), 0, 0, Math.Sign(d));
        return b == 0 || c == 0 ? Upright : new Orientation(0, Math.Sign(c), Math.Sign(b), 0);
    }

    /// <summary>From a still picture's orientation tag, 1 to 8 (CIPA DC-008, Exif 2.32, tag 0x0112); anything else is upright.</summary>
    public static Orientation FromExif(int tag) => tag switch
    {
        2 => new(-1, 0, 0, 1),
        3 => new(-1, 0, 0, -1),
        4 => new(1, 0, 0, -1),
        5 => new(0, 1, 1, 0),
        6 => new(0, -1, 1, 0),
        7 => new(0, -1, -1, 0),
        8 => new(0, 1, -1, 0),
        _ => Upright,
    };

    /// <summary>Displayed width and height of a coded picture.</summary>
    public (int Width, int Height) DisplayedSize(int codedWidth, int codedHeight) =>
        SwapsAxes ? (codedHeight, codedWidth) : (codedWidth, codedHeight);

    /// <summary>A rectangle of the displayed picture as a rectangle of the coded one.</summary>
    /// <param name="displayed">Rectangle in displayed pixels, inside the picture.</param>
    /// <param name="codedWidth">Width of the coded picture.</param>
    /// <param name="codedHeight">Height of the coded picture.</param>
    public Region ToCoded(Region displayed, int codedWidth, int codedHeight)
    {
        (int width, int height) = DisplayedSize(codedWidth, codedHeight);
        int shiftX = XFromX + XFromY < 0 ? width - 1 : 0;
        int shiftY = YFromX + YFromY < 0 ? height - 1 : 0;
        (int x0, int y0) = CodedPixel(displayed.X - shiftX, displayed.Y - shiftY);
        (int x1, int y1) = CodedPixel(displayed.X + displayed.Width - 1 - shiftX, displayed.Y + displayed.Height - 1 - shiftY);
        return displayed with
        {
            X = Math.Min(x0, x1),
            Y = Math.Min(y0, y1),
            Width = Math.Abs(x1 - x0) + 1,
            Height = Math.Abs(y1 - y0) + 1,
        };
    }

    /// <summary>A rectangle of the coded picture as a rectangle of the displayed one.</summary>
    /// <param name="coded">Rectangle in coded pixels, inside the picture.</param>
    /// <param name="codedWidth">Width of the coded picture.</param>
    /// <param name="codedHeight">Height of the coded picture.</param>
    public Region ToDisplayed(Region coded, int codedWidth, int codedHeight)
    {
        (int width, int height) = DisplayedSize(codedWidth, codedHeight);
        return new Orientation(XFromX, YFromX, XFromY, YFromY).ToCoded(coded, width, height);
    }

    // The matrix is orthogonal: its inverse is its transpose.
    private (int X, int Y) CodedPixel(int x, int y) => (XFromX * x + YFromX * y, XFromY * x + YFromY * y);
}
